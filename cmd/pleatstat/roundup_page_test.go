package main

import (
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// roundupPageOf writes the roundup of a log and returns its page.
func roundupPageOf(t *testing.T, log string, args ...string) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "roundup")
	want(t, call("", append([]string{"roundup", log, "--out", dir, "--html"}, args...)...), 0)
	return filepath.Join(dir, roundupPage)
}

// quietPage checks what holds at every width: no complaint on the console,
// nothing loaded, nothing wider than the window.
func quietPage(t *testing.T, b *browser) {
	t.Helper()
	if said := b.complaints(); len(said) > 0 {
		t.Errorf("the page complains: %v", said)
	}
	var loaded int
	if b.script(&loaded, `return performance.getEntriesByType("resource").length`); loaded != 0 {
		t.Errorf("%d things were loaded", loaded)
	}
	var wide, window int
	b.script(&wide, `return document.documentElement.scrollWidth`)
	if b.script(&window, `return document.documentElement.clientWidth`); wide > window {
		t.Errorf("the page is %d px wide in a window of %d px", wide, window)
	}
}

func visible(b *browser, selector string) (shown int) {
	b.script(&shown, `return Array.prototype.filter.call(document.querySelectorAll(`+strconv.Quote(selector)+`),
		function (e) { return e.getClientRects().length > 0; }).length`)
	return shown
}

func TestBrowserDesktop(t *testing.T) {
	file := roundupPageOf(t, demoLog, "--year", "2025", "--theme", "dark")
	b := openBrowser(t, 1440, 900, false)
	b.open(file)
	quietPage(t, b)
	b.screenshot("desktop.png")
	if wide, upright := visible(b, ".wide svg"), visible(b, ".upright svg"); wide < 8 || upright != 0 {
		t.Errorf("%d wide and %d upright charts are seen", wide, upright)
	}
	b.script(new(any), `document.getElementById("price-for-contents").scrollIntoView({behavior: "instant"}); return null`)
	b.screenshot("desktop-prices.png")
	b.script(new(any), `document.getElementById("shifts").scrollIntoView({behavior: "instant"}); return null`)
	b.screenshot("desktop-shifts.png")
}

func TestBrowserPhone(t *testing.T) {
	file := roundupPageOf(t, demoLog, "--year", "2025")
	b := openBrowser(t, 390, 844, true)
	b.open(file)
	quietPage(t, b)
	b.screenshot("phone.png")
	if wide, upright := visible(b, ".wide svg"), visible(b, ".upright svg"); wide != 0 || upright < 8 {
		t.Errorf("%d wide and %d upright charts are seen", wide, upright)
	}
	// Text of a chart as it reaches the eye, and what a finger has to hit.
	var text, target float64
	b.script(&text, `return Math.min.apply(null, Array.prototype.map.call(document.querySelectorAll(".upright svg text"),
		function (e) { var s = e.ownerSVGElement; return e.getAttribute("font-size") * s.getBoundingClientRect().width / s.viewBox.baseVal.width; }))`)
	b.script(&target, `return Math.min.apply(null, Array.prototype.map.call(document.querySelectorAll("th button"),
		function (e) { return e.getBoundingClientRect().height; }))`)
	if text < 6.5 || target < 44 {
		t.Errorf("smallest text of a chart %.1f px, lowest button %.0f px", text, target)
	}
	b.script(new(any), `document.querySelector("#best-value figure").scrollIntoView({behavior: "instant"}); return null`)
	b.screenshot("phone-chart.png")
	b.script(new(any), `document.querySelector("#best-value .scroll").scrollIntoView({behavior: "instant"}); return null`)
	b.screenshot("phone-table.png")
}

// Everything the page does can be done with the keyboard alone.
func TestBrowserKeyboard(t *testing.T) {
	file := roundupPageOf(t, demoLog, "--year", "2025")
	b := openBrowser(t, 1440, 900, false)
	b.open(file)
	var text string
	b.press(keyTab)
	if b.script(&text, `return document.activeElement.textContent`); text != "Skip to the findings" {
		t.Fatalf("the first stop is %q", text)
	}
	b.press(keyEnter)
	if b.script(&text, `return document.activeElement.id`); text != "content" {
		t.Fatalf("the skip link leads to %q", text)
	}
	// The next stops are the first table as a scrolling region, then its heads.
	b.press(keyTab)
	if b.script(&text, `return document.activeElement.getAttribute("role") + ""`); text != "region" {
		t.Fatalf("after the content comes a %q", text)
	}
	head := `var th = document.activeElement.closest("th"); `
	column := `Array.prototype.map.call(document.querySelectorAll("#table-best-value tbody tr"), function (r) { return r.cells[5].dataset.key; })`
	b.script(new(any), `document.querySelector("#table-best-value th:nth-child(5) button").focus(); return null`)
	b.press(keyTab)
	b.script(&text, head+`return th.textContent`)
	if !strings.HasPrefix(text, "price per media area") {
		t.Fatalf("the sixth head is %q", text)
	}
	sorted := func() []float64 {
		var keys []string
		b.script(&keys, `return `+column)
		out := make([]float64, len(keys))
		for i, k := range keys {
			v, err := strconv.ParseFloat(k, 64)
			if err != nil {
				t.Fatal(err)
			}
			out[i] = v
		}
		return out
	}
	for _, step := range []struct{ key, order string }{{keyEnter, "ascending"}, {keySpace, "descending"}, {keyEnter, "ascending"}} {
		b.press(step.key)
		if b.script(&text, head+`return th.getAttribute("aria-sort")`); text != step.order {
			t.Fatalf("aria-sort is %q, want %q", text, step.order)
		}
		values := sorted()
		if step.order == "descending" {
			slices.Reverse(values)
		}
		if len(values) < 20 || !slices.IsSorted(values) {
			t.Errorf("%s: %v", step.order, values)
		}
		var others int
		if b.script(&others, `return document.querySelectorAll("#table-best-value th:not([aria-sort=none])").length`); others != 1 {
			t.Errorf("%d heads say they are sorted", others)
		}
		if b.script(&text, `return document.getElementById("said").textContent`); !strings.Contains(text, "price per media area") {
			t.Errorf("what a screen reader hears: %q", text)
		}
	}
	var outline string
	if b.script(&outline, `return getComputedStyle(document.activeElement).outlineStyle`); outline == "none" {
		t.Error("the focus is not seen")
	}
	b.screenshot("keyboard.png")
	// Words sort as words.
	b.press(keyTab, keyTab, keyTab, keyTab, keyTab, keyTab)
	quietPage(t, b)
}

// hostileLog is the demo's shape with names that would do harm as markup.
func hostileLog() string {
	var b strings.Builder
	b.WriteString("opened,maker,part,price,media_length_in,element_width_in,can_gauge_mm,total_mass_g,can_od_mm,can_height_mm,pleats\n")
	names := []string{`<script>window.harm=1</script>`, `"><img src=x onerror="window.harm=1">`, `</svg><script>window.harm=1</script>`,
		`';window.harm=1;//`, `=HYPERLINK("http://x")`, "{{.Title}}", `<a href=javascript:harm>x</a>`, "Skerrow"}
	for year := 2023; year <= 2026; year++ {
		for i, n := range names {
			for k := range 3 {
				row := []string{strconv.Itoa(year) + "-0" + strconv.Itoa(1+k), n, `P</title><script>window.harm=1</script>` + strconv.Itoa(k),
					strconv.FormatFloat(8+float64(i)+0.3*float64(k), 'f', 2, 64), strconv.FormatFloat(35+2*float64(k)+float64(i%3), 'f', 1, 64), "1.5",
					strconv.FormatFloat(0.38+0.01*float64(i), 'f', 2, 64), strconv.Itoa(180 + 3*i + k), "75", strconv.Itoa(80 + k), strconv.Itoa(50 + i)}
				for c := range row {
					row[c] = `"` + strings.ReplaceAll(row[c], `"`, `""`) + `"`
				}
				b.WriteString(strings.Join(row, ",") + "\n")
			}
		}
	}
	return b.String()
}

func TestBrowserHostileNames(t *testing.T) {
	file := roundupPageOf(t, logFile(t, hostileLog()), "--title", `</title><script>window.harm=1</script>`)
	b := openBrowser(t, 1440, 900, false)
	b.open(file)
	quietPage(t, b)
	var scripts, images, links int
	var harm bool
	b.script(&scripts, `return document.scripts.length`)
	b.script(&images, `return document.querySelectorAll("img, image, iframe, object, [onerror], [onclick]").length`)
	b.script(&links, `return document.querySelectorAll("a:not([href^='#'])").length`)
	b.script(&harm, `return "harm" in window`)
	if scripts != 1 || images != 0 || links != 0 || harm {
		t.Errorf("%d scripts, %d images, %d links out, harm done: %v", scripts, images, links, harm)
	}
	var title string
	if b.script(&title, `return document.title`); title != `</title><script>window.harm=1</script>` {
		t.Errorf("title %q", title)
	}
	// Neither does the policy let a script of the page's text run.
	var blocked bool
	b.script(&blocked, `var s = document.createElement("script"); s.textContent = "window.late = 1"; document.body.appendChild(s); return !("late" in window)`)
	if !blocked {
		t.Error("the policy lets any script run")
	}
	b.screenshot("hostile.png")
}
