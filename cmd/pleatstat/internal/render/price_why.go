package render

import (
	"fmt"
	"math"

	"pleatstat/stats/price"
	"pleatstat/stats/report"
	"pleatstat/stats/trend"
)

// sideWord says where a price lies to a range: 1 = "above", -1 = "below".
func sideWord(side int) string {
	switch {
	case side > 0:
		return "above"
	case side < 0:
		return "below"
	}
	return "inside"
}

// why says why the verdict by contents and the one by area alone fall apart.
func why(d price.Disagreement) string {
	if d.ByWidth {
		narrower := "by everything inside"
		if d.Contents == 0 {
			narrower = "by area alone"
		}
		return "that is mostly because the range " + narrower + " is the narrower one"
	}
	way := "higher"
	if d.Ratio < 1 {
		way = "lower"
	}
	s := fmt.Sprintf("what is inside points to a fair price %s %s than media area alone does", percent(math.Abs(d.Ratio-1)), way)
	var named []string
	for _, c := range d.Because {
		named = append(named, trend.Words(c.Content)+" ("+unbroken(effect(c.Factor))+")")
	}
	if len(named) == 0 {
		return s + ", no single content by much"
	}
	return s + ", most of all " + joined(named)
}

// disagreement is where contents and area put the price, and why they do not
// agree; "" where they do.
func disagreement(j price.Judgement) string {
	d, apart := j.Disagreement()
	if !apart {
		return ""
	}
	return fmt.Sprintf("by everything inside the price lies %s its 95"+nbsp+"%% range, by media area alone %s: %s",
		sideWord(d.Contents), sideWord(d.Area), why(d))
}

// apart names the products of a list on which contents and area disagree.
func apart(t *Text, all []price.Judgement) {
	var names []string
	for _, j := range all {
		if d, apart := j.Disagreement(); apart {
			names = append(names, Name(j.Maker, j.Part)+" ("+sideWord(d.Area)+" its range)")
		}
	}
	if len(names) > 0 {
		t.Para("By media area alone these lie elsewhere, for reasons that --part tells: " + joined(cut(names, maxListed)) + ".")
	}
}

// againstFlag says, where the verdict on everything inside does not share a
// flag's, why; "" where it does.
func againstFlag(p report.PriceFinding) string {
	flagged := 1
	if p.Flag.Kind == trend.Bargain {
		flagged = -1
	}
	j := p.Judgement
	byContents := price.Side(j.Paid, j.Low95, j.High95)
	if !p.Judged || math.IsNaN(j.PremiumRatio) || byContents == flagged {
		return ""
	}
	return fmt.Sprintf(" That is %s the range, not %s it: %s.", sideWord(byContents), sideWord(flagged), whyNot(j))
}

// whyNot says why contents and a line of price on area do not agree, the part
// being judged by prices carried to one year and by a fit without it.
func whyNot(j price.Judgement) string {
	if d, apart := j.Disagreement(); apart {
		return why(d)
	}
	return "with prices carried to one year, its media area alone says the same"
}

// onlyByContents lists the products outside their range by everything inside
// that are not flagged by area.
func onlyByContents(t *Text, f *report.Findings, kind trend.FlagKind) {
	wanted := price.Overpriced
	if kind == trend.Bargain {
		wanted = price.Bargain
	}
	flagged := map[price.Product]bool{}
	for _, p := range f.Prices {
		if p.Flag.Kind == kind {
			flagged[price.Product{Maker: p.Flag.Maker, Part: p.Flag.Part}] = true
		}
	}
	var found []price.Judgement
	for _, j := range f.Judged {
		if j.Verdict == wanted && !flagged[price.Product{Maker: j.Maker, Part: j.Part}] {
			found = append(found, j)
		}
	}
	if len(found) == 0 {
		return
	}
	t.Para(fmt.Sprintf("By everything measured inside, these lie outside their range though not off the line of price on media area (of %s about %s lie outside on this side by chance):",
		counted(len(f.Judged), "product", "products"), expectedByChance(len(f.Judged), 0.025)))
	listed(t, found, maxLooks, findingsJSON, func(j price.Judgement) {
		say := func(v float64) string { return quantity(f.Units, "price", v) }
		t.Item(fmt.Sprintf("%s: %s%s against a fair price of about %s (%s): %s.", Name(j.Maker, j.Part), moneyOf(j), say(j.Paid), say(j.Fair),
			range95(say(j.Low95), say(j.High95)), whyNot(j)))
	})
}
