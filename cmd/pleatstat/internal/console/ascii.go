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

// signs is standard output or error as the user sees it. A file or pipe gets
// UTF-8 on every system, with lines ended by a line feed. So does a terminal that
// shows it; another one gets signs of ASCII instead.
func signs(w io.Writer, getenv func(string) string) io.Writer {
	if f, ok := w.(*os.File); ok && isTerminal(f) && !showsUTF8(runtime.GOOS, getenv) {
		return plainSigns{f}
	}
	return w
}

// showsUTF8 says whether a terminal shows UTF-8. On Windows it does whatever its
// code page is, as the Go runtime writes UTF-16 to consoles. Elsewhere the locale
// says so (POSIX.1-2024, Base Definitions, 8.2); macOS has terminals that set none and
// no other encoding.
func showsUTF8(system string, getenv func(string) string) bool {
	locale := strings.ToLower(cmp.Or(getenv("LC_ALL"), getenv("LC_CTYPE"), getenv("LANG")))
	return system == "windows" || (system == "darwin" && locale == "") ||
		strings.Contains(locale, "utf-8") || strings.Contains(locale, "utf8")
}

// plainSigns is a terminal that shows ASCII only.
type plainSigns struct{ terminal *os.File }

// Fd is the terminal's, so that it is known as one.
func (t plainSigns) Fd() uintptr { return t.terminal.Fd() }

func (t plainSigns) Write(p []byte) (int, error) {
	if _, err := t.terminal.WriteString(ASCII(string(p))); err != nil {
		return 0, err
	}
	return len(p), nil
}

// ASCII is s in the signs of a typewriter: letters without their accents, a
// question mark for what has no likeness.
func ASCII(s string) string {
	var b strings.Builder
	for _, r := range norm.NFKD.String(plainForms.Replace(s)) {
		switch {
		case r <= unicode.MaxASCII:
			b.WriteRune(r)
		case unicode.Is(unicode.Mn, r): // the accent of the letter before it
		case r == '\u2044': // of a fraction such as 1/2
			b.WriteByte('/')
		default:
			b.WriteByte('?')
		}
	}
	return b.String()
}

// plainForms are signs that Unicode does not take apart itself (form NFKD).
var plainForms = strings.NewReplacer(
	"−", "-", "–", "-", "—", "-", "×", "x", "✓", "y", "✔", "y", "☑", "y", "✗", "n", "✘", "n", "β", "beta ", "≈", "~", "±", "+/-", "≤", "<=", "≥", ">=", "≠", "!=", "→", "->",
	"·", ".", "’", "'", "‘", "'", "“", `"`, "”", `"`, "′", "'", "″", `"`, "✓", "x", "°", " deg ", "π", "pi",
	"µ", "u", "μ", "u", "£", "GBP ", "€", "EUR ", "¥", "JPY ", "ø", "o", "Ø", "O", "ß", "ss", "æ", "ae", "Æ", "Ae",
)
