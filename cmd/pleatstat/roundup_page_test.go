package main

import (
	"fmt"
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

// quietPage checks what must hold at every width: no message on the console, nothing
// loaded, nothing wider than the window.
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

// reportPageOf writes the report of a log and returns its page.
func reportPageOf(t *testing.T, log string, args ...string) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "report")
	want(t, call("", append([]string{"report", log, "--out", dir, "--html", "--format", "svg"}, args...)...), 0)
	return filepath.Join(dir, findingsHTML)
}

// At every width the first screen is the answer, nothing is wider than the window, and
// what a finger has to hit is large enough.
func TestBrowserFirstScreen(t *testing.T) {
	pages := map[string]string{"report": reportPageOf(t, demoLog), "roundup": roundupPageOf(t, demoLog, "--year", "2025")}
	for _, w := range []struct{ width, height int }{{360, 780}, {768, 1024}, {1440, 900}} {
		b := openBrowser(t, w.width, w.height, w.width < 400)
		for name, file := range pages {
			b.open(file)
			quietPage(t, b)
			b.screenshot(fmt.Sprintf("%s-%d.png", name, w.width))
			var answer, chart, target float64
			b.script(&answer, `return document.querySelector(".lead .said li").getBoundingClientRect().bottom`)
			b.script(&chart, `return Array.prototype.filter.call(document.querySelectorAll(".lead svg"), function (e) { return e.getClientRects().length > 0; })[0].getBoundingClientRect().top`)
			b.script(&target, `return Math.min.apply(null, Array.prototype.map.call(document.querySelectorAll("#parts th button, #parts input"), function (e) { return e.getBoundingClientRect().height; }))`)
			if answer > float64(w.height) || w.width > 400 && chart > float64(w.height) || target < 44 {
				t.Errorf("%s at %d px: the answer ends at %.0f, the chart begins at %.0f, lowest target %.0f px", name, w.width, answer, chart, target)
			}
			wide, upright := visible(b, ".wide svg"), visible(b, ".upright svg")
			if phone := w.width < 720; phone && (wide != 0 || upright < 5) || !phone && (wide < 5 || upright != 0) {
				t.Errorf("%s at %d px: %d wide and %d upright charts are seen", name, w.width, wide, upright)
			}
			b.script(new(any), `document.getElementById("parts").scrollIntoView({behavior: "instant"}); return null`)
			b.screenshot(fmt.Sprintf("%s-%d-parts.png", name, w.width))
		}
	}
}

// Text in charts is large enough on a phone.
func TestBrowserPhoneCharts(t *testing.T) {
	b := openBrowser(t, 390, 844, true)
	b.open(roundupPageOf(t, demoLog, "--year", "2025"))
	var text float64
	if b.script(&text, `return Math.min.apply(null, Array.prototype.map.call(document.querySelectorAll(".upright svg text"),
		function (e) { var s = e.ownerSVGElement; return e.getAttribute("font-size") * s.getBoundingClientRect().width / s.viewBox.baseVal.width; }))`); text < 6.5 {
		t.Errorf("smallest text of a chart %.1f px", text)
	}
	b.script(new(any), `document.querySelectorAll(".upright")[1].scrollIntoView({behavior: "instant"}); return null`)
	b.screenshot("phone-chart.png")
}

// In dark mode page and charts are dark, from a single drawing.
func TestBrowserByNight(t *testing.T) {
	b := openBrowser(t, 1440, 900, false)
	b.open(reportPageOf(t, demoLog))
	paper := `return getComputedStyle(document.documentElement).backgroundColor + " " + getComputedStyle(document.querySelector(".wide svg path")).fill`
	var day, night string
	b.script(&day, paper)
	b.call("POST", "/goog/cdp/execute", map[string]any{"cmd": "Emulation.setEmulatedMedia",
		"params": map[string]any{"features": []map[string]string{{"name": "prefers-color-scheme", "value": "dark"}}}})
	b.script(&night, paper)
	b.screenshot("night.png")
	if day != "rgb(255, 255, 255) rgb(255, 255, 255)" || night != "rgb(17, 21, 26) rgb(17, 21, 26)" {
		t.Errorf("paper of page and chart by day %s, by night %s", day, night)
	}
	b.call("POST", "/goog/cdp/execute", map[string]any{"cmd": "Emulation.setEmulatedMedia",
		"params": map[string]any{"media": "print", "features": []map[string]string{{"name": "prefers-color-scheme", "value": "dark"}}}})
	var printed string
	if b.script(&printed, paper); printed != day {
		t.Errorf("the printed page is %s", printed)
	}
}

// Everything the page does can be done with the keyboard alone.
func TestBrowserKeyboard(t *testing.T) {
	b := openBrowser(t, 1440, 900, false)
	b.open(reportPageOf(t, demoLog))
	var text string
	b.press(keyTab)
	if b.script(&text, `return document.activeElement.textContent`); text != "Skip to the findings" {
		t.Fatalf("the first stop is %q", text)
	}
	b.press(keyEnter)
	if b.script(&text, `return document.activeElement.id`); text != "content" {
		t.Fatalf("the skip link leads to %q", text)
	}
	// The next stop is the first part named, which leads to its row.
	b.press(keyTab)
	if b.script(&text, `return document.activeElement.textContent`); text != "Veldmarsh VM2146" {
		t.Fatalf("after the content comes %q", text)
	}
	b.press(keyEnter)
	if b.script(&text, `return document.querySelector("tr:target th").textContent`); text != "Veldmarsh VM2146" {
		t.Errorf("the link leads to %q", text)
	}
	b.script(new(any), `document.getElementById("find-parts").focus(); return null`)
	b.press("s", "k", "-", "1")
	var shown, all int
	b.script(&shown, `return document.querySelectorAll("#table-parts tbody tr:not([hidden])").length`)
	b.script(&all, `return document.querySelectorAll("#table-parts tbody tr").length`)
	if b.script(&text, `return document.getElementById("status-parts").textContent`); all != 60 || shown < 2 || shown > 12 || text != strconv.Itoa(shown)+" of 60 shown." {
		t.Errorf("%d of %d shown, and a screen reader hears %q", shown, all, text)
	}
	b.screenshot("search.png")
	b.press(keyEscape)
	if b.script(&shown, `return document.querySelectorAll("#table-parts tbody tr:not([hidden])").length`); shown != all {
		t.Errorf("%d shown after Escape", shown)
	}
	// The scrolling region, then its headings.
	b.press(keyTab)
	if b.script(&text, `return document.activeElement.getAttribute("role") + ""`); text != "region" {
		t.Fatalf("after the search field comes a %q", text)
	}
	head := `var th = document.activeElement.closest("th"); `
	b.press(keyTab, keyTab, keyTab)
	if b.script(&text, head+`return th.textContent`); text != "price" {
		t.Fatalf("the third head is %q", text)
	}
	sorted := func() []float64 {
		var keys []string
		b.script(&keys, `return Array.prototype.map.call(document.querySelectorAll("#table-parts tbody tr"), function (r) { return r.cells[2].dataset.key; })`)
		var out []float64
		for i, k := range keys {
			switch v, err := strconv.ParseFloat(k, 64); {
			case err == nil && len(out) == i:
				out = append(out, v)
			case k != "":
				t.Fatalf("row %d has the key %q behind one that is missing", i, k)
			}
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
		if b.script(&others, `return document.querySelectorAll("#table-parts th[scope=col]:not([aria-sort=none])").length`); others != 1 {
			t.Errorf("%d heads say they are sorted", others)
		}
		if b.script(&text, `return document.getElementById("status-parts").textContent`); !strings.HasPrefix(text, "Sorted by price,") {
			t.Errorf("what a screen reader hears: %q", text)
		}
	}
	var outline string
	if b.script(&outline, `return getComputedStyle(document.activeElement).outlineStyle`); outline == "none" {
		t.Error("the focus is not seen")
	}
	b.screenshot("keyboard.png")
	quietPage(t, b)
}

// Without script everything can be read, and there are no controls without effect.
func TestBrowserWithoutScript(t *testing.T) {
	b := openBrowser(t, 1440, 900, false)
	b.call("POST", "/goog/cdp/execute", map[string]any{"cmd": "Emulation.setScriptExecutionDisabled", "params": map[string]any{"value": true}})
	b.open(reportPageOf(t, demoLog))
	if rows, fields, buttons := visible(b, "#table-parts tbody tr"), visible(b, "input"), visible(b, "button"); rows != 60 || fields+buttons != 0 {
		t.Errorf("%d rows, %d fields, %d buttons are seen", rows, fields, buttons)
	}
}

// hostileLog is a log in the form of the demo, with names that would do harm as markup.
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
	log := logFile(t, hostileLog())
	b := openBrowser(t, 1440, 900, false)
	for title, file := range map[string]string{
		`</title><script>window.harm=1</script>`: roundupPageOf(t, log, "--title", `</title><script>window.harm=1</script>`),
		"Findings from " + filepath.Base(log):    reportPageOf(t, log),
	} {
		b.open(file)
		quietPage(t, b)
		var scripts, images, links, rows int
		var harm bool
		b.script(&scripts, `return document.scripts.length`)
		b.script(&images, `return document.querySelectorAll("img, image, iframe, object, [onerror], [onclick]").length`)
		b.script(&links, `return document.querySelectorAll("a:not([href^='#'])").length`)
		b.script(&rows, `return document.querySelectorAll("#table-parts tbody tr").length`)
		b.script(&harm, `return "harm" in window`)
		if scripts != 1 || images != 0 || links != 0 || harm || rows != 24 {
			t.Errorf("%d scripts, %d images, %d links out, %d parts, harm done: %v", scripts, images, links, rows, harm)
		}
		var said string
		if b.script(&said, `return document.title`); said != title {
			t.Errorf("title %q", said)
		}
		// The policy also blocks a script added to the page.
		var blocked bool
		b.script(&blocked, `var s = document.createElement("script"); s.textContent = "window.late = 1"; document.body.appendChild(s); return !("late" in window)`)
		if !blocked {
			t.Error("the policy lets any script run")
		}
		b.screenshot("hostile.png")
		b.complaints() // discard those of the policy about the last script
	}
}
