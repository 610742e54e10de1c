package config

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/pflag"
)

// settings writes a settings file and returns a getenv that names it and has more
// variables, and the file's path.
func settings(t *testing.T, text string, more map[string]string) (func(string) string, string) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "config.json")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return func(name string) string {
		if name == FileVariable {
			return path
		}
		return more[name]
	}, path
}

func nowhere() (string, error) { return "", errors.New("no home") }

func flags() *pflag.FlagSet {
	f := pflag.NewFlagSet("report", pflag.ContinueOnError)
	f.String("theme", "light", "")
	f.String("units", "", "")
	f.StringSlice("format", []string{"png"}, "")
	return f
}

func value(t *testing.T, f *pflag.FlagSet, name string) string {
	t.Helper()
	return strings.Trim(f.Lookup(name).Value.String(), "[]")
}

// Flags take precedence over the environment, and the environment over the file.
func TestPrecedence(t *testing.T) {
	const file = `{"theme": "dark", "units": "us", "format": ["svg", "pdf"], "size": "1080x1920"}`
	getenv, _ := settings(t, file, map[string]string{"PLEATSTAT_UNITS": "metric"})
	s, err := Load(getenv, nowhere)
	if err != nil {
		t.Fatal(err)
	}
	f := flags()
	if err := f.Parse([]string{"--theme", "light"}); err != nil {
		t.Fatal(err)
	}
	if err := s.Apply(f); err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{"theme": "light", "units": "metric", "format": "svg,pdf"} {
		if got := value(t, f, name); got != want {
			t.Errorf("%s is %q, want %q", name, got, want)
		}
	}
	f = flags()
	if err := s.Apply(f); err != nil {
		t.Fatal(err)
	}
	if got := value(t, f, "theme"); got != "dark" {
		t.Errorf("theme from the file is %q", got)
	}
}

func TestLog(t *testing.T) {
	getenv, path := settings(t, `{"log": "filters.csv"}`, nil)
	s, err := Load(getenv, nowhere)
	if err != nil {
		t.Fatal(err)
	}
	if want := filepath.Join(filepath.Dir(path), "filters.csv"); s.Log() != want {
		t.Errorf("log %q, want it beside the file: %q", s.Log(), want)
	}
	getenv, _ = settings(t, `{"log": "filters.csv"}`, map[string]string{"PLEATSTAT_LOG": "other.csv"})
	if s, err = Load(getenv, nowhere); err != nil || s.Log() != "other.csv" {
		t.Errorf("log %q, %v", s.Log(), err)
	}
}

func TestNoSettings(t *testing.T) {
	none := func(string) string { return "" }
	for _, dir := range []func() (string, error){nowhere, func() (string, error) { return t.TempDir(), nil }} {
		s, err := Load(none, dir)
		if err != nil || s.Log() != "" {
			t.Errorf("%v, log %q", err, s.Log())
		}
	}
	if _, err := Load(func(name string) string {
		if name == FileVariable {
			return "/nowhere/config.json"
		}
		return ""
	}, nowhere); err == nil {
		t.Error("a file that was named and is not there is no error")
	}
}

// Every error names the file or variable, the key, and what would be right.
func TestErrors(t *testing.T) {
	for _, c := range []struct {
		file string
		env  map[string]string
		says []string
	}{
		{`{"theme": "blue"}`, nil, []string{"config.json", `"theme"`, `"blue"`, "light, dark"}},
		{`{"theem": "dark"}`, nil, []string{"config.json", `"theem"`, "theme", "units"}},
		{`{"theme": 3}`, nil, []string{"config.json", `"theme"`, "3", "quotes"}},
		{`{"theme": null}`, nil, []string{"config.json", `"theme"`, "null"}},
		{`{"size": "big"}`, nil, []string{`"size"`, "1920x1080"}},
		{`{"format": ["png", "bmp"]}`, nil, []string{`"format"`, "png, svg, pdf"}},
		{`{"log": ""}`, nil, []string{`"log"`, "empty"}},
		{"{\n\"theme\": dark\n}", nil, []string{"config.json", "line 2"}},
		{`[1]`, nil, []string{"config.json", "theme"}},
		{`{}`, map[string]string{"PLEATSTAT_UNITS": "imperial"}, []string{"PLEATSTAT_UNITS", `"imperial"`, "metric, us"}},
	} {
		getenv, _ := settings(t, c.file, c.env)
		_, err := Load(getenv, nowhere)
		if err == nil {
			t.Errorf("%s: no error", c.file)
			continue
		}
		for _, want := range c.says {
			if !strings.Contains(err.Error(), want) {
				t.Errorf("%s: error %q does not say %q", c.file, err, want)
			}
		}
	}
}

func TestKeysHaveExamplesThatHold(t *testing.T) {
	for _, k := range Keys() {
		if k.Headers {
			if got, err := headers([]byte(k.Example), k); err != nil || len(got) != 1 || k.Meaning == "" || k.variable != "" {
				t.Errorf("%s: example %q: %q, %v", k.Name, k.Example, got, err)
			}
			continue
		}
		if err := k.check(k.Example); err != nil || k.Meaning == "" || k.variable == "" {
			t.Errorf("%s: example %q: %v", k.Name, k.Example, err)
		}
	}
}

// columnList is a flag that takes headers from the settings.
type columnList struct{ all []string }

func (l *columnList) String() string            { return "" }
func (l *columnList) Type() string              { return "column" }
func (l *columnList) Set(string) error          { return nil }
func (l *columnList) Preset(all []string) error { l.all = append(l.all, all...); return nil }

func TestColumns(t *testing.T) {
	getenv, _ := settings(t, `{"columns": {"part": "model no", "maker": ["who", "brand=name"]}}`, nil)
	s, err := Load(getenv, nowhere)
	if err != nil {
		t.Fatal(err)
	}
	var list columnList
	f := flags()
	f.Var(&list, "column", "")
	if err := s.Apply(f); err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(list.all, "; "); got != "maker=who; maker=brand=name; part=model no" {
		t.Errorf("columns %q", got)
	}
	for text, says := range map[string]string{
		`{"columns": "model no"}`:     `"columns" is "model no": want columns with their headers, for example {"part": "model no"}`,
		`{"columns": {"part": 3}}`:    `has 3 for "part": want a header in quotes, or a list of them`,
		`{"columns": {"part": ""}}`:   `has nothing for "part"`,
		`{"columns": null}`:           `is null: want columns`,
		`{"columns": {"part": [{}]}}`: `has [{}] for "part"`,
	} {
		getenv, _ := settings(t, text, nil)
		if _, err := Load(getenv, nowhere); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v", text, err)
		}
	}
}

// The user's own folder may be unreadable, as for a service account: that gives a
// warning, and the run goes on without settings.
func TestAnUnreadableDefaultFolderIsAWarning(t *testing.T) {
	dir := t.TempDir()
	loop := filepath.Join(dir, "pleatstat")
	if err := os.Symlink(loop, loop); err != nil { // fails for every user, root included
		t.Skip("no symbolic links here:", err)
	}
	s, err := Load(func(string) string { return "" }, func() (string, error) { return dir, nil })
	if err != nil || !strings.Contains(s.Warning, "config.json") {
		t.Errorf("warning %q, error %v", s.Warning, err)
	}
}

func TestWhatIsNoSettingsFileIsNamed(t *testing.T) {
	dir := t.TempDir()
	large := filepath.Join(dir, "large.json")
	if err := os.WriteFile(large, []byte(`{"theme": "dark", `+strings.Repeat(" ", largest)+`"units": "us"}`), 0o666); err != nil {
		t.Fatal(err)
	}
	for path, says := range map[string]string{dir: "is not a file", os.DevNull: "is not a file", large: "larger than 64 kB"} {
		_, err := Load(func(name string) string {
			if name == FileVariable {
				return path
			}
			return ""
		}, nowhere)
		if err == nil || !strings.Contains(err.Error(), says) || !strings.Contains(err.Error(), path) {
			t.Errorf("%s: error %v, want one that says %q", path, err, says)
		}
	}
}
