// Package wording writes the tool's plain text: it lays out lines or collects blocks
// for a page, puts numbers, dates, names and lists into words, and makes the hidden
// characters of a log visible. It knows the columns of a log but no results.
package wording

import (
	"io"
	"strings"

	"github.com/mattn/go-runewidth"
)

// Width is the number of display columns of every text the tool writes.
const Width = 72

// NBSP keeps a number and its unit on one line; it is written out as a space.
const NBSP = "\u00a0"

// Text writes plain text of Width columns. Hidden characters are made visible (see
// Visible). It keeps its first error and stops writing; Err reports that error.
type Text struct {
	w      io.Writer
	colour bool
	err    error
	began  bool
	blocks *[]Block // collects blocks instead (see Outline)
}

// NewText returns a writer of plain text; colour adds terminal codes to headings.
func NewText(w io.Writer, colour bool) *Text { return &Text{w: w, colour: colour} }

// Err returns the first error of the underlying writer.
func (t *Text) Err() error { return t.err }

// Terminal codes of the styles used (ECMA-48).
const (
	bold  = "\x1b[1m"
	plain = "\x1b[0m"
)

// Heading starts a section.
func (t *Text) Heading(s string) {
	if t.keep(HeadingBlock, s) {
		return
	}
	if t.began {
		t.raw("\n")
	}
	for _, line := range Wrap(Visible(s), Width) {
		if t.colour {
			line = bold + line + plain
		}
		t.raw(line + "\n")
	}
}

// Notices writes what the reader must know before anything else.
func (t *Text) Notices(notices []string) {
	for _, n := range notices {
		t.Para(n)
	}
}

// Para writes one paragraph, nothing for "".
func (t *Text) Para(s string) { t.block("", "", s) }

// Item writes one entry of a list.
func (t *Text) Item(s string) { t.block("- ", "  ", s) }

// Detail writes a paragraph that belongs to the item above it.
func (t *Text) Detail(s string) { t.block("  ", "  ", s) }

// Evidence writes a line of evidence under a sentence, nothing for "".
func (t *Text) Evidence(s string) {
	if s != "" {
		t.block("    ", "    ", "["+s+"]")
	}
}

// Notes writes warnings, each as a note.
func (t *Text) Notes(warnings []string) {
	for _, w := range warnings {
		t.Para("Note: " + Sentence(w))
	}
}

// Blank writes an empty line.
func (t *Text) Blank() { t.raw("\n") }

// Line writes one line with its spacing, without wrapping.
func (t *Text) Line(s string) {
	if t.keep(PreformattedBlock, s) {
		return
	}
	t.raw(strings.TrimRight(Spaced(Visible(s)), " ") + "\n")
}

func (t *Text) block(first, rest, s string) {
	if t.keep(kindOf(first), s) {
		return
	}
	lead := first
	for _, line := range Wrap(Visible(s), Width-runewidth.StringWidth(first)) {
		t.raw(lead + line + "\n")
		lead = rest
	}
}

func (t *Text) raw(s string) {
	t.began = true
	if t.err == nil && t.w != nil {
		_, t.err = io.WriteString(t.w, s)
	}
}

// Wrap breaks s into lines of at most width display columns, between words
// where it can and inside a word that is longer than a line.
func Wrap(s string, width int) []string {
	var lines []string
	line, used := "", 0
	flush := func() {
		if line != "" {
			lines = append(lines, Spaced(line))
		}
		line, used = "", 0
	}
	for _, word := range strings.FieldsFunc(s, func(r rune) bool { return r == ' ' }) {
		wide := runewidth.StringWidth(word)
		if used > 0 && used+1+wide > width {
			flush()
		}
		for wide > width {
			head := runewidth.Truncate(word, width, "")
			if head == "" {
				break
			}
			line = head
			flush()
			word = word[len(head):]
			wide = runewidth.StringWidth(word)
		}
		if used > 0 {
			line, used = line+" ", used+1
		}
		line, used = line+word, used+wide
	}
	flush()
	return lines
}

// Pad fills s with spaces on the right up to a display width.
func Pad(s string, width int) string { return runewidth.FillRight(s, width) }

// PadLeft fills s with spaces on the left up to a display width. If s is as wide or
// wider, one space still keeps it apart from the column before.
func PadLeft(s string, width int) string {
	if runewidth.StringWidth(s) >= width {
		return " " + s
	}
	return runewidth.FillLeft(s, width)
}

// Clip shortens s to a display width; an ellipsis marks what is left out.
func Clip(s string, width int) string { return runewidth.Truncate(Visible(s), width, "…") }
