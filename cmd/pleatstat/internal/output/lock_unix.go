//go:build unix

package output

import (
	"errors"
	"os"
	"syscall"
)

// lockIsInside reports whether the lock is a file inside the folder.
const lockIsInside = false

// tryLock locks a folder against other runs without creating a file in it. It returns
// errHeld if another run holds the lock; any other error means that the file system
// has no locks.
func tryLock(dir string) (*os.File, error) {
	f, err := os.Open(dir)
	if err != nil {
		return nil, err
	}
	for err = syscall.EINTR; errors.Is(err, syscall.EINTR); {
		err = syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	}
	if err != nil {
		f.Close()
		if errors.Is(err, syscall.EWOULDBLOCK) {
			return nil, errHeld
		}
		return nil, err
	}
	// A failed run may have removed the folder that it had made and that is locked here:
	// make it again and let the caller try again.
	locked, err := f.Stat()
	if now, errNow := os.Stat(dir); err != nil || errNow != nil || !os.SameFile(locked, now) {
		f.Close()
		if err := os.MkdirAll(dir, 0o777); err != nil {
			return nil, err
		}
		return nil, errHeld
	}
	return f, nil
}
