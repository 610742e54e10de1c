// Command pleatstat reads a log of oil filters that were cut open and measured,
// fits the trends over them, flags what falls off, and writes the findings.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"
	"time"

	"pleatstat/cmd/pleatstat/internal/render"
)

// Exit codes.
const (
	exitDone      = 0
	exitFailed    = 1
	exitUsage     = 2
	exitLogErrors = 3 // the log has errors: check, or --strict
)

func main() {
	// A pipe closed by its reader is then an error like any other, so that a
	// run cleans up after itself instead of being killed by the signal.
	signal.Ignore(syscall.SIGPIPE)
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// run does what the arguments say and returns the exit code.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	a := &app{stdin: stdin, stdout: stdout, stderr: stderr, getenv: os.Getenv, today: time.Now()}
	return a.exit(a.execute(ctx, args))
}

// usageError is a wrong call: an unknown command or flag, a wrong value.
type usageError struct {
	err     error
	command string // whose help to read, "" = the tool's
}

func (e *usageError) Error() string { return e.err.Error() }
func (e *usageError) Unwrap() error { return e.err }

// logError says that the log has errors; what they are has been printed.
type logError struct{ message string }

func (e *logError) Error() string { return e.message }

// exit tells the user what went wrong and maps it to an exit code.
func (a *app) exit(err error) int {
	var usage *usageError
	var log *logError
	switch {
	case err == nil:
		return exitDone
	case errors.As(err, &usage):
		a.complain(usage)
		fmt.Fprintf(a.stderr, "See: %s --help\n", usage.command)
		return exitUsage
	case errors.As(err, &log):
		a.complain(log)
		return exitLogErrors
	case errors.Is(err, syscall.EPIPE):
		// Whoever read the output had enough: nothing to tell, but not all of
		// it was delivered.
		return exitFailed
	case errors.Is(err, context.Canceled):
		a.complain(errors.New("stopped; no file was left half-written"))
		return exitFailed
	}
	a.complain(err)
	return exitFailed
}

func (a *app) complain(err error) {
	for line := range strings.SplitSeq(err.Error(), "\n") {
		fmt.Fprintf(a.stderr, "pleatstat: %s\n", render.Visible(line))
	}
}
