// Package console holds the streams of a run: whether they take colour, which
// characters they can show, the messages on standard error, and a notice when work
// takes long. Package render puts results into words.
package console

import (
	"context"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"golang.org/x/term"

	"pleatstat/cmd/pleatstat/internal/render/wording"
)

// Stdin is the name that stands for standard input.
const Stdin = "-"

// Console holds the streams and settings that the commands share.
type Console struct {
	In       io.Reader
	Out, Err io.Writer
	Getenv   func(string) string
	Quiet    bool // write only results and errors
}

// New returns the console of a run. On a terminal that cannot show UTF-8 it writes
// ASCII.
func New(stdin io.Reader, stdout, stderr io.Writer) *Console {
	return &Console{In: stdin, Out: signs(stdout, os.Getenv), Err: signs(stderr, os.Getenv), Getenv: os.Getenv}
}

// Colour reports whether standard output takes terminal codes.
func (c *Console) Colour() bool {
	return c.Getenv("NO_COLOR") == "" && c.Getenv("TERM") != "dumb" && isTerminal(c.Out)
}

// Text returns a writer of text to standard output.
func (c *Console) Text() *wording.Text { return wording.NewText(c.Out, c.Colour()) }

// Complain writes an error to standard error.
func (c *Console) Complain(err error) {
	for line := range strings.SplitSeq(err.Error(), "\n") {
		fmt.Fprintf(c.Err, "pleatstat: %s\n", wording.Visible(line))
	}
}

func isTerminal(w any) bool {
	f, ok := w.(interface{ Fd() uintptr })
	return ok && term.IsTerminal(int(f.Fd()))
}

// patience is how long work runs before the user is told what is going on.
const patience = time.Second

// Work runs f, which may take long. It returns at once when ctx is done: the process
// then ends, and f, which writes no files, with it. If f takes longer than patience,
// standard error is a terminal and Quiet is not set, Work says there what is going on.
func Work[T any](ctx context.Context, c *Console, doing string, f func() (T, error)) (T, error) {
	type outcome struct {
		value T
		err   error
	}
	done := make(chan outcome, 1)
	go func() {
		value, err := f()
		done <- outcome{value, err}
	}()
	late := time.NewTimer(patience)
	defer late.Stop()
	for {
		select {
		case o := <-done:
			return o.value, o.err
		case <-ctx.Done():
			var none T
			return none, ctx.Err()
		case <-late.C:
			if !c.Quiet && isTerminal(c.Err) {
				fmt.Fprintf(c.Err, "%s …\n", doing)
			}
		}
	}
}
