// Package console is where a run reads and writes: its streams, whether they take
// colour and which signs they show, what it says on standard error, and that long
// work does not go on in silence. What a result says is worded elsewhere (render).
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

// Console is what the commands share.
type Console struct {
	In       io.Reader
	Out, Err io.Writer
	Getenv   func(string) string
	Quiet    bool // nothing but results and errors
}

// New is the console of a run, with the signs that its terminal shows.
func New(stdin io.Reader, stdout, stderr io.Writer) *Console {
	return &Console{In: stdin, Out: signs(stdout, os.Getenv), Err: signs(stderr, os.Getenv), Getenv: os.Getenv}
}

// Colour says whether standard output takes terminal codes.
func (c *Console) Colour() bool {
	return c.Getenv("NO_COLOR") == "" && c.Getenv("TERM") != "dumb" && isTerminal(c.Out)
}

// Text is a writer of a run's text on standard output.
func (c *Console) Text() *wording.Text { return wording.NewText(c.Out, c.Colour()) }

// Complain says on standard error what went wrong.
func (c *Console) Complain(err error) {
	for line := range strings.SplitSeq(err.Error(), "\n") {
		fmt.Fprintf(c.Err, "pleatstat: %s\n", wording.Visible(line))
	}
}

func isTerminal(w any) bool {
	f, ok := w.(interface{ Fd() uintptr })
	return ok && term.IsTerminal(int(f.Fd()))
}

// patience is how long work runs in silence before it says what it is doing.
const patience = time.Second

// Work runs f, which may take long. It returns at once when ctx is done: the
// process then ends, and f, which writes no files, with it. Where standard
// error is a terminal it is told what goes on after a second.
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
