package wording

import (
	"fmt"
	"path/filepath"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/mattn/go-runewidth"
)

// Visible returns s with every control and formatting character (escape
// sequences, direction overrides, line breaks, broken UTF-8) spelt out, so that
// text from a log can be shown without acting on the terminal.
func Visible(s string) string {
	if !strings.ContainsFunc(s, Hidden) {
		return s
	}
	var b strings.Builder
	for i, r := range s {
		switch {
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\r':
			b.WriteString(`\r`)
		case r == '\t':
			b.WriteString(`\t`)
		case r == utf8.RuneError && isBroken(s[i:]):
			fmt.Fprintf(&b, `\x%02x`, s[i])
		case Hidden(r):
			b.WriteString(Escape(r))
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// Escape spells a rune the way JSON does, as UTF-16 units.
func Escape(r rune) string {
	if r > 0xFFFF {
		r -= 0x10000
		return fmt.Sprintf(`\u%04x\u%04x`, 0xD800+(r>>10), 0xDC00+(r&0x3FF))
	}
	return fmt.Sprintf(`\u%04x`, r)
}

// Hidden says whether a rune has an effect instead of a shape.
func Hidden(r rune) bool {
	if ' ' <= r && r <= '~' {
		return false // nearly all there is, without a look at the tables
	}
	return r == utf8.RuneError || unicode.In(r, unicode.Cc, unicode.Cf, unicode.Co, unicode.Cs, unicode.Zl, unicode.Zp)
}

func isBroken(s string) bool {
	r, size := utf8.DecodeRuneInString(s)
	return r == utf8.RuneError && size == 1
}

// nameWidth is the display width, in columns, beyond which a maker's or part's
// name is shortened in running text: two of them still fit on one line.
const nameWidth = 32

// Name is a product as it is said: maker and part, each shown harmlessly and
// shortened where it is very long.
func Name(maker, part string) string {
	return strings.TrimSpace(Short(maker) + " " + Short(part))
}

// FileName is a file as it is said: without its folders.
func FileName(path string) string { return Short(filepath.Base(path)) }

// Short shows a name harmlessly, and shortened where it is very long.
func Short(s string) string {
	return runewidth.Truncate(Visible(strings.TrimSpace(s)), nameWidth, "…")
}

// Quoted is the text of a cell as it stands there, each of its characters spelt
// out at most once.
func Quoted(s string) string { return `"` + Short(s) + `"` }
