package output

import (
	"errors"
	"os"
	"path/filepath"
	"syscall"
)

// Constants of the Windows API that package syscall does not define.
const (
	deleteOnClose    = 0x04000000        // FILE_FLAG_DELETE_ON_CLOSE
	sharingViolation = syscall.Errno(32) // ERROR_SHARING_VIOLATION
)

// lockIsInside reports whether the lock is a file inside the folder.
const lockIsInside = true

// tryLock locks a folder against other runs: it opens a file that no other process
// can open and that Windows deletes when this process ends, however it ends. It
// returns errHeld if another run holds the lock; any other error means that no such
// file can be made in the folder.
func tryLock(dir string) (*os.File, error) {
	path := filepath.Join(dir, ".pleatstat-lock")
	name, err := syscall.UTF16PtrFromString(path)
	if err != nil {
		return nil, err
	}
	const shareNothing = 0
	h, err := syscall.CreateFile(name, syscall.GENERIC_WRITE, shareNothing, nil, syscall.OPEN_ALWAYS,
		syscall.FILE_ATTRIBUTE_HIDDEN|deleteOnClose, 0)
	if errors.Is(err, sharingViolation) {
		return nil, errHeld
	}
	if err != nil {
		return nil, err
	}
	return os.NewFile(uintptr(h), path), nil
}
