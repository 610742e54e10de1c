package console

import (
	"cmp"
	"io"
	"os"
	"runtime"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// signs returns w or, if w is a terminal that cannot show UTF-8, a writer that
// replaces other characters by ASCII. A file or pipe gets UTF-8 on every system, with
// lines ended by a line feed.
func signs(w io.Writer, getenv func(string) string) io.Writer {
	if f, ok := w.(*os.File); ok && isTerminal(f) && !showsUTF8(runtime.GOOS, getenv) {
		return plainSigns{f}
	}
	return w
}

// showsUTF8 reports whether a terminal shows UTF-8. On Windows it does whatever its
// code page, as the Go runtime writes UTF-16 to consoles. Elsewhere the locale says
// so (POSIX.1-2024, Base Definitions, 8.2); a terminal of macOS may set no locale and
// then shows UTF-8 too.
func showsUTF8(system string, getenv func(string) string) bool {
	locale := strings.ToLower(cmp.Or(getenv("LC_ALL"), getenv("LC_CTYPE"), getenv("LANG")))
	return system == "windows" || (system == "darwin" && locale == "") ||
		strings.Contains(locale, "utf-8") || strings.Contains(locale, "utf8")
}

// plainSigns writes ASCII to a terminal that cannot show UTF-8.
type plainSigns struct{ terminal *os.File }

// Fd is the terminal's, so that isTerminal recognises it.
func (t plainSigns) Fd() uintptr { return t.terminal.Fd() }

func (t plainSigns) Write(p []byte) (int, error) {
	if _, err := t.terminal.WriteString(ASCII(string(p))); err != nil {
		return 0, err
	}
	return len(p), nil
}

// ASCII returns s in ASCII: letters without their accents, and a question mark for a
// character that has no equivalent.
func ASCII(s string) string {
	var b strings.Builder
	for _, r := range norm.NFKD.String(plainForms.Replace(s)) {
		switch {
		case r <= unicode.MaxASCII:
			b.WriteRune(r)
		case unicode.Is(unicode.Mn, r): // drop the accent of the letter before
		case r == '\u2044': // the fraction slash, in which NFKD writes a character such as ½
			b.WriteByte('/')
		default:
			b.WriteByte('?')
		}
	}
	return b.String()
}

// plainForms replaces characters that Unicode does not decompose (form NFKD).
var plainForms = strings.NewReplacer(
	"−", "-", "–", "-", "—", "-", "×", "x", "✓", "y", "✔", "y", "☑", "y", "✗", "n", "✘", "n", "β", "beta ", "≈", "~", "±", "+/-", "≤", "<=", "≥", ">=", "≠", "!=", "→", "->",
	"·", ".", "’", "'", "‘", "'", "“", `"`, "”", `"`, "′", "'", "″", `"`, "°", " deg ", "π", "pi",
	"µ", "u", "μ", "u", "£", "GBP ", "€", "EUR ", "¥", "JPY ", "ø", "o", "Ø", "O", "ß", "ss", "æ", "ae", "Æ", "Ae",
)
