// Package config reads settings that a user would otherwise type each time, from the
// environment and from a small JSON file. A flag on the command line takes precedence
// over the environment, and the environment over the file.
package config

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"syscall"

	"github.com/spf13/pflag"
)

// FileVariable is the environment variable that names another settings file.
const FileVariable = "PLEATSTAT_CONFIG"

// Key is one setting.
type Key struct {
	Name     string   // in the file; also the name of the flag it sets, except for LogKey and ColumnsKey
	Words    []string // accepted values; nil = any that Pattern matches
	Several  bool     // takes several words, separated by commas
	Pattern  *regexp.Regexp
	Headers  bool // takes columns of a log, each with the headers that mean it
	Example  string
	Meaning  string
	variable string // environment variable, "" for none
}

// LogKey is the setting for the log that is read where none is named.
const LogKey = "log"

// ColumnsKey is the setting that names headers of logs. Its flag, columnFlag, has
// another name.
const ColumnsKey, columnFlag = "columns", "column"

// Keys lists the settings.
func Keys() []Key {
	keys := []Key{
		{Name: LogKey, Example: "/home/me/filters.csv", Meaning: "the log that is read where none is named"},
		{Name: "units", Words: []string{"metric", "us"}, Example: "us", Meaning: "units of the output"},
		{Name: "rate", Pattern: regexp.MustCompile(`^[^=,]+=[^=,]+(,[^=,]+=[^=,]+)*$`), Example: "EUR=0.86", Meaning: "rates of exchange of prices in other currencies"},
		{Name: "theme", Words: []string{"light", "dark"}, Example: "dark", Meaning: "colours of the charts"},
		{Name: "size", Pattern: regexp.MustCompile(`^\s*\d{2,5}\s*[x×]\s*\d{2,5}\s*$`), Example: "1920x1080", Meaning: "size of the charts, width first"},
		{Name: ColumnsKey, Headers: true, Example: `{"part": "model no"}`, Meaning: "headers that are columns of another name"},
		{Name: "format", Words: []string{"png", "svg", "pdf"}, Several: true, Example: "png,svg", Meaning: "formats of the charts"},
	}
	for i := range keys {
		if keys[i].Headers {
			continue // does not fit into a variable
		}
		keys[i].variable = "PLEATSTAT_" + strings.ToUpper(keys[i].Name)
	}
	return keys
}

// check returns an error if the setting does not take value.
func (k Key) check(value string) error {
	switch {
	case strings.TrimSpace(value) == "":
		return fmt.Errorf("is empty; want for example %s", k.Example)
	case k.Words != nil && !k.Several && !slices.Contains(k.Words, value):
		return fmt.Errorf("%q: want %s", value, strings.Join(k.Words, ", "))
	case k.Pattern != nil && !k.Pattern.MatchString(value):
		return fmt.Errorf("%q: want for example %s", value, k.Example)
	}
	if k.Several {
		for word := range strings.SplitSeq(value, ",") {
			if !slices.Contains(k.Words, strings.TrimSpace(word)) {
				return fmt.Errorf("%q: want %s, several with commas", value, strings.Join(k.Words, ", "))
			}
		}
	}
	return nil
}

// Settings are the values found, by key.
type Settings struct {
	columns []string // each COLUMN=HEADER
	// Warning says why the file in the user's own folder was ignored, "" if it was
	// read or there is none.
	Warning string

	values map[string]string
}

// Log returns the log to read where none is named, "" if none is set.
func (s *Settings) Log() string { return s.values[LogKey] }

// Load reads the settings. dir returns the folder of the user's settings, as
// os.UserConfigDir does; it may fail, and the folder may hold no settings file. A
// relative path of the log in the file is relative to the file's own folder.
//
// A file in that folder which cannot be opened, as may happen to a service account,
// gives a warning; one named by FileVariable gives an error. Errors name the file and
// key, or the variable, and what would be right.
func Load(getenv func(string) string, dir func() (string, error)) (*Settings, error) {
	path, named := getenv(FileVariable), true
	if path == "" {
		named = false
		if folder, err := dir(); err == nil {
			path = filepath.Join(folder, "pleatstat", "config.json")
		}
	}
	s := &Settings{values: map[string]string{}}
	if path != "" {
		if err := s.readFile(path, named); err != nil {
			return nil, err
		}
	}
	for _, k := range Keys() {
		value := ""
		if k.variable != "" {
			value = getenv(k.variable)
		}
		if value == "" {
			continue
		}
		if err := k.check(value); err != nil {
			return nil, fmt.Errorf("environment variable %s %w", k.variable, err)
		}
		s.values[k.Name] = value
	}
	return s, nil
}

// largest is the size, in bytes, up to which a settings file is read.
const largest = 1 << 16

func (s *Settings) readFile(path string, named bool) error {
	// Stat comes first: opening a named pipe waits for somebody to write to it.
	info, err := os.Stat(path)
	if err == nil && !info.Mode().IsRegular() {
		return fmt.Errorf("settings file %q is not a file; name a file such as {\"theme\": \"dark\"}", path)
	}
	var data []byte
	if err == nil {
		data, err = readBounded(path)
	}
	switch {
	case !named && (errors.Is(err, fs.ErrNotExist) || errors.Is(err, syscall.ENOTDIR)):
		return nil
	case err != nil && !named:
		s.Warning = fmt.Sprintf("the settings are passed over: %v", err)
		return nil
	case err != nil:
		return fmt.Errorf("settings file: %w", err)
	case len(data) > largest:
		return fmt.Errorf("settings file %q is larger than %d kB, so it is hardly a list of settings; name another", path, largest>>10)
	}
	return s.parse(data, path)
}

// readBounded reads a file, but at most one byte more than largest: enough to see
// that it is too large.
func readBounded(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, largest+1))
}

func (s *Settings) parse(data []byte, path string) error {
	var all map[string]json.RawMessage
	if err := json.Unmarshal(bytes.TrimPrefix(data, []byte("\ufeff")), &all); err != nil {
		return fmt.Errorf("settings file %q%s: not a list of settings such as {\"theme\": \"dark\", \"units\": \"us\"}: %w", path, place(data, err), err)
	}
	names := make([]string, 0, len(all))
	for name := range all {
		names = append(names, name)
	}
	slices.Sort(names) // report the same error every time
	for _, name := range names {
		i := slices.IndexFunc(Keys(), func(k Key) bool { return k.Name == name })
		if i < 0 {
			return fmt.Errorf("settings file %q: no setting is called %q; there are %s", path, name, known())
		}
		key := Keys()[i]
		if key.Headers {
			var err error
			if s.columns, err = headers(all[name], key); err != nil {
				return fmt.Errorf("settings file %q, %q %w", path, name, err)
			}
			continue
		}
		value, err := text(all[name], key)
		if err == nil {
			err = key.check(value)
		}
		if err != nil {
			return fmt.Errorf("settings file %q, %q %w", path, name, err)
		}
		if name == LogKey && !filepath.IsAbs(value) && value != "-" {
			value = filepath.Join(filepath.Dir(path), value)
		}
		s.values[name] = value
	}
	return nil
}

// text returns a value: a string or, if the key takes several words, a list of them.
func text(raw json.RawMessage, k Key) (string, error) {
	var one string
	if json.Unmarshal(raw, &one) == nil && string(raw) != "null" {
		return one, nil
	}
	var several []string
	if k.Several && json.Unmarshal(raw, &several) == nil && len(several) > 0 {
		return strings.Join(several, ","), nil
	}
	return "", fmt.Errorf("is %s: want a text in quotes, for example %q", raw, k.Example)
}

// headers reads columns, each with one header or, for several logs, a list of them,
// and returns COLUMN=HEADER for each header.
func headers(raw json.RawMessage, k Key) ([]string, error) {
	var all map[string]json.RawMessage
	if json.Unmarshal(raw, &all) != nil || all == nil {
		return nil, fmt.Errorf("is %s: want columns with their headers, for example %s", raw, k.Example)
	}
	var out []string
	for _, column := range slices.Sorted(maps.Keys(all)) {
		var one string
		several := []string{}
		if json.Unmarshal(all[column], &one) == nil {
			several = append(several, one)
		} else if json.Unmarshal(all[column], &several) != nil {
			return nil, fmt.Errorf("has %s for %q: want a header in quotes, or a list of them", all[column], column)
		}
		for _, header := range several {
			if strings.TrimSpace(header) == "" || strings.TrimSpace(column) == "" {
				return nil, fmt.Errorf("has nothing for %q; want for example %s", column, k.Example)
			}
			out = append(out, column+"="+header)
		}
	}
	return out, nil
}

func known() string {
	var names []string
	for _, k := range Keys() {
		names = append(names, k.Name)
	}
	return strings.Join(names, ", ")
}

// place returns the line on which the JSON goes wrong, "" if that is not known.
func place(data []byte, err error) string {
	var syntax *json.SyntaxError
	if !errors.As(err, &syntax) || syntax.Offset < 1 {
		return ""
	}
	return fmt.Sprintf(", line %d", 1+bytes.Count(data[:min(int(syntax.Offset)-1, len(data))], []byte("\n")))
}

// Apply sets the flags that were not given on the command line. pflag still counts
// them as not given.
func (s *Settings) Apply(flags *pflag.FlagSet) error {
	if flag := flags.Lookup(columnFlag); flag != nil && len(s.columns) > 0 {
		if list, ok := flag.Value.(interface{ Preset([]string) error }); ok {
			if err := list.Preset(s.columns); err != nil {
				return fmt.Errorf("--%s from the settings: %w", columnFlag, err)
			}
		}
	}
	for _, k := range Keys() {
		value, ok := s.values[k.Name]
		flag := flags.Lookup(k.Name)
		if !ok || k.Name == LogKey || flag == nil || flag.Changed {
			continue
		}
		if err := flag.Value.Set(value); err != nil {
			return fmt.Errorf("--%s from the settings: %w", k.Name, err)
		}
	}
	return nil
}
