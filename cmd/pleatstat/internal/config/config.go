// Package config finds what one always types: in the environment and in a small
// file. A flag on the command line stands before the environment, which stands
// before the file.
package config

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"syscall"

	"github.com/spf13/pflag"
)

// FileVariable names another settings file.
const FileVariable = "PLEATSTAT_CONFIG"

// Key is one thing that can be set.
type Key struct {
	Name     string   // in the file; also the flag it stands for, but for log
	Words    []string // accepted values; nil = see Pattern
	Several  bool     // several words with commas
	Pattern  *regexp.Regexp
	Example  string
	Meaning  string
	variable string
}

// Variable is the environment variable of the key.
func (k Key) Variable() string { return k.variable }

// LogKey is the log that is read where none is named.
const LogKey = "log"

// Keys lists what can be set.
func Keys() []Key {
	keys := []Key{
		{Name: LogKey, Example: "/home/me/filters.csv", Meaning: "the log that is read where none is named"},
		{Name: "units", Words: []string{"metric", "us"}, Example: "us", Meaning: "units of the output"},
		{Name: "rate", Pattern: regexp.MustCompile(`^[^=,]+=[^=,]+(,[^=,]+=[^=,]+)*$`), Example: "EUR=0.86", Meaning: "rates of exchange of prices in other currencies"},
		{Name: "theme", Words: []string{"light", "dark"}, Example: "dark", Meaning: "colours of the charts"},
		{Name: "size", Pattern: regexp.MustCompile(`^\s*\d{2,5}\s*[x×]\s*\d{2,5}\s*$`), Example: "1920x1080", Meaning: "size of the charts, width first"},
		{Name: "format", Words: []string{"png", "svg", "pdf"}, Several: true, Example: "png,svg", Meaning: "formats of the charts"},
	}
	for i := range keys {
		keys[i].variable = "PLEATSTAT_" + strings.ToUpper(keys[i].Name)
	}
	return keys
}

// check says whether a value is one the key takes.
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
type Settings struct{ values map[string]string }

// Log is the log to read where none is named, "" = none set.
func (s *Settings) Log() string { return s.values[LogKey] }

// Load reads the settings. dir gives the folder of the user's settings
// (os.UserConfigDir); without one, or without a file in it, there are none. A
// relative log in the file is taken from the file's own folder.
//
// Errors name the file and key, or the variable, and what would be right.
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
		value := getenv(k.variable)
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

// largest bounds, in bytes, what is read as settings.
const largest = 1 << 16

func (s *Settings) readFile(path string, named bool) error {
	f, err := os.Open(path)
	if !named && (errors.Is(err, fs.ErrNotExist) || errors.Is(err, syscall.ENOTDIR)) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("settings file: %w", err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, largest))
	if err != nil {
		return fmt.Errorf("settings file: %w", err)
	}
	return s.parse(data, path)
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
	slices.Sort(names) // the same complaint every time
	for _, name := range names {
		i := slices.IndexFunc(Keys(), func(k Key) bool { return k.Name == name })
		if i < 0 {
			return fmt.Errorf("settings file %q: no setting is called %q; there are %s", path, name, known())
		}
		key := Keys()[i]
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

// text reads a value: a text, or a list of texts where several are taken.
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

func known() string {
	var names []string
	for _, k := range Keys() {
		names = append(names, k.Name)
	}
	return strings.Join(names, ", ")
}

// place says on which line a file cannot be read, "" where that is not known.
func place(data []byte, err error) string {
	var syntax *json.SyntaxError
	if !errors.As(err, &syntax) || syntax.Offset < 1 {
		return ""
	}
	return fmt.Sprintf(", line %d", 1+bytes.Count(data[:min(int(syntax.Offset)-1, len(data))], []byte("\n")))
}

// Apply sets the flags that were not given on the command line. They still
// count as not given.
func (s *Settings) Apply(flags *pflag.FlagSet) error {
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
