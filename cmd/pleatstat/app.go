package main

import (
	"context"
	"fmt"
	"io"
	"time"

	"golang.org/x/term"
)

// app is what the commands share: where they read and write.
type app struct {
	stdin          io.Reader
	stdout, stderr io.Writer
	getenv         func(string) string
	today          time.Time // dates after it are slips
	quiet          bool
	helpErr        error // of writing a help text, which cobra does not ask for
}

// colour says whether standard output takes terminal codes.
func (a *app) colour() bool {
	return a.getenv("NO_COLOR") == "" && a.getenv("TERM") != "dumb" && isTerminal(a.stdout)
}

func isTerminal(w any) bool {
	f, ok := w.(interface{ Fd() uintptr })
	return ok && term.IsTerminal(int(f.Fd()))
}

// patience is how long work runs in silence before it says what it is doing.
const patience = time.Second

// work runs f, which may take long. It returns at once when ctx is done: the
// process then ends, and f, which writes no files, with it. Where standard
// error is a terminal it is told what goes on after a second.
func work[T any](ctx context.Context, a *app, doing string, f func() (T, error)) (T, error) {
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
			if !a.quiet && isTerminal(a.stderr) {
				fmt.Fprintf(a.stderr, "%s …\n", doing)
			}
		}
	}
}
