//go:build unix

package product

import (
	"path/filepath"
	"syscall"
	"testing"
	"time"
)

// A pipe must not be waited for.
func TestReadRefusesPipes(t *testing.T) {
	dir := folder(t, map[string]string{"product.toml": bare12})
	if err := syscall.Mkfifo(filepath.Join(dir, "parts.toml"), 0o644); err != nil {
		t.Skip(err)
	}
	done := make(chan error, 1)
	go func() { _, err := Read(dir); done <- err }()
	select {
	case err := <-done:
		if err == nil || err.Error() != "parts.toml: is no plain file; want a file" {
			t.Error(err)
		}
	case <-time.After(20 * time.Second):
		t.Fatal("it waits for the pipe")
	}
}
