package main

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/spf13/cobra"

	"pleatstat/cmd/pleatstat/internal/console"
)

// workshop sets up the folder that the examples assume: log.csv is the demo log, and
// testdata is where the project has it.
func workshop(t *testing.T) {
	t.Helper()
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	log, err := os.ReadFile(demoLog)
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	if err := os.WriteFile("log.csv", log, 0o666); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(filepath.Join(root, "testdata"), "testdata"); err != nil {
		t.Skip("no symbolic links here:", err)
	}
}

var (
	exampleWord  = regexp.MustCompile(`"[^"]*"|'[^']*'|[^\s"']+`)
	exampleCall  = regexp.MustCompile(`^(\./|go run \./cmd/)?pleatstat `)
	exampleBreak = regexp.MustCompile(`\s(&&|\||;)\s`)
)

// example runs one line of a shell example up to its first pipe; < and > are obeyed.
func example(t *testing.T, line string) {
	t.Helper()
	line = exampleCall.ReplaceAllString(exampleBreak.Split(line, 2)[0], "")
	var args []string
	stdin := ""
	out := ""
	words := exampleWord.FindAllString(line, -1)
	for i := 0; i < len(words); i++ {
		switch word := strings.Trim(words[i], `"'`); word {
		case "<":
			i++
			data, err := os.ReadFile(words[i])
			if err != nil {
				t.Fatalf("%s: %v", line, err)
			}
			stdin = string(data)
		case ">":
			i++
			out = words[i]
		default:
			args = append(args, word)
		}
	}
	c := command(args[0])
	if c == nil {
		t.Fatalf("%s: there is no command %s", line, args[0])
	}
	if c.Flags().Lookup("size") != nil && !slices.Contains(args, "--size") {
		args = append(args, "--size", "480x270") // quick to draw
	}
	r := call(stdin, args...)
	if r.code != exitDone && r.code != exitLogErrors { // the demo log has slips
		t.Errorf("%s: exit code %d: %s", line, r.code, r.stderr)
	}
	if out != "" {
		if err := os.WriteFile(out, []byte(r.stdout), 0o666); err != nil {
			t.Fatal(err)
		}
	}
}

// command returns a command of this build, nil if there is none of that name.
func command(name string) *cobra.Command {
	a := &app{Console: console.New(strings.NewReader(""), new(bytes.Buffer), new(bytes.Buffer))}
	for _, c := range a.rootCommand().Commands() {
		if c.Name() == name {
			return c
		}
	}
	return nil
}

func TestExamplesOfTheHelp(t *testing.T) {
	a := &app{Console: console.New(strings.NewReader(""), new(bytes.Buffer), new(bytes.Buffer))}
	root := a.rootCommand()
	for _, c := range append(root.Commands(), root) {
		t.Run(c.Name(), func(t *testing.T) {
			workshop(t)
			for line := range strings.Lines(c.Example) {
				example(t, strings.TrimSpace(line))
			}
		})
	}
}

// readmeCall matches a call in running text (`pleatstat …`) or in an indented block.
var readmeCall = regexp.MustCompile("(?m)`(pleatstat [a-z][^`]*)`|^ {4}((?:\\./|go run \\./cmd/)?pleatstat .*)$")

func TestExamplesOfTheReadme(t *testing.T) {
	data, err := os.ReadFile("../../README.md")
	if errors.Is(err, os.ErrNotExist) {
		t.Skip("there is no README.md yet")
	}
	if err != nil {
		t.Fatal(err)
	}
	workshop(t)
	calls := readmeCall.FindAllStringSubmatch(string(data), -1)
	if len(calls) == 0 {
		t.Error("no command of the README was found")
	}
	for _, c := range calls {
		line := strings.TrimSpace(c[1] + c[2])
		t.Run(line, func(t *testing.T) { example(t, line) })
	}
}
