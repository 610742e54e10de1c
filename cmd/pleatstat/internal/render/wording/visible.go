package wording

import (
	"fmt"
	"path/filepath"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/mattn/go-runewidth"
)

// Visible returns s with every control and formatting character (escape sequences,
// direction overrides, line breaks, broken UTF-8) escaped, so that text from a log can
// be shown without an effect on the terminal.
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

// Escape returns the escape of a rune as in JSON, in UTF-16 units.
func Escape(r rune) string {
	if r > 0xFFFF {
		r -= 0x10000
		return fmt.Sprintf(`\u%04x\u%04x`, 0xD800+(r>>10), 0xDC00+(r&0x3FF))
	}
	return fmt.Sprintf(`\u%04x`, r)
}

// Hidden reports whether a rune has an effect instead of a shape.
func Hidden(r rune) bool {
	if ' ' <= r && r <= '~' {
		return false // nearly every rune, without the cost of the tables
	}
	return r == utf8.RuneError || unicode.In(r, unicode.Cc, unicode.Cf, unicode.Co, unicode.Cs, unicode.Zl, unicode.Zp)
}

func isBroken(s string) bool {
	r, size := utf8.DecodeRuneInString(s)
	return r == utf8.RuneError && size == 1
}

// nameWidth is the display width, in columns, to which a maker's or part's name is
// shortened in running text: two of them fit on one line.
const nameWidth = 32

// Name returns the name of a product in running text: maker and part, each made visible
// and shortened if it is very long.
func Name(maker, part string) string {
	return strings.TrimSpace(Short(maker) + " " + Short(part))
}

// FileName returns the name of a file in running text: without its folders.
func FileName(path string) string { return Short(filepath.Base(path)) }

// Short makes the hidden characters of a name visible, and shortens it if it is very
// long.
func Short(s string) string {
	return runewidth.Truncate(Visible(strings.TrimSpace(s)), nameWidth, "…")
}

// Quoted returns the text of a cell between quotation marks, shortened and made visible
// by Short. Nothing is escaped a second time.
func Quoted(s string) string { return `"` + Short(s) + `"` }
