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
	"slices"
	"syscall"
	"time"

	"pleatstat/cmd/pleatstat/internal/console"
	"pleatstat/cmd/pleatstat/internal/usage"
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

// run does what the arguments say and returns the exit code. A signal to end is
// obeyed wherever the run is, waiting for a pipe included: what works in steps
// stops at the next one and takes its files back, what does not is left behind.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	ctx, stop := untilSignal()
	defer stop()
	a := &app{Console: console.New(stdin, stdout, stderr), today: time.Now()}
	done := make(chan int, 1)
	go func() { done <- a.exit(a.execute(ctx, args)) }()
	select {
	case code := <-done:
		return code
	case <-ctx.Done():
	}
	select {
	case code := <-done:
		return code
	case <-time.After(grace):
	}
	told := make(chan struct{})
	go func() { a.Complain(errStopped); close(told) }()
	select {
	case <-told:
	case <-time.After(grace / 10): // standard error is stuck, too
	}
	return exitFailed
}

// grace is how long a run that was told to end may take to clear up. Who ended
// it waits that long for the prompt.
const grace = 100 * time.Millisecond

var errStopped = errors.New("stopped; no file was left half-written")

// untilSignal is done when the process is told to end: from the keyboard, by the
// system, or because its terminal is gone. A signal that whoever started it chose
// to have ignored (nohup) stays so.
func untilSignal() (context.Context, context.CancelFunc) {
	endings := slices.DeleteFunc([]os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP}, signal.Ignored)
	if len(endings) == 0 { // to the signal package, none means all
		return context.WithCancel(context.Background())
	}
	return signal.NotifyContext(context.Background(), endings...)
}

// logError says that the log has errors; what they are has been printed.
type logError struct{ message string }

func (e *logError) Error() string { return e.message }

// exit tells the user what went wrong and maps it to an exit code.
func (a *app) exit(err error) int {
	var wrong *usage.Error
	var log *logError
	switch {
	case err == nil:
		return exitDone
	case errors.As(err, &wrong):
		a.Complain(wrong)
		fmt.Fprintf(a.Err, "See: %s --help\n", wrong.Command)
		return exitUsage
	case errors.As(err, &log):
		a.Complain(log)
		return exitLogErrors
	case errors.Is(err, syscall.EPIPE):
		// Whoever read the output had enough: nothing to tell, but not all of
		// it was delivered.
		return exitFailed
	case errors.Is(err, context.Canceled):
		a.Complain(errStopped)
		return exitFailed
	}
	a.Complain(err)
	return exitFailed
}
