package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
	"unsafe"

	"hindwatt/demo"
	"hindwatt/internal/promise/kept"
)

// terminal is a new pseudo-terminal: the end that shows and the end that a program writes to.
func terminal(t *testing.T) (shows, program *os.File) {
	t.Helper()
	shows, err := os.OpenFile("/dev/ptmx", os.O_RDWR|syscall.O_NOCTTY, 0)
	if err != nil {
		t.Skipf("no pseudo-terminal here: %v", err)
	}
	control := func(request uintptr, value *int32) {
		if _, _, e := syscall.Syscall(syscall.SYS_IOCTL, shows.Fd(), request, uintptr(unsafe.Pointer(value))); e != 0 {
			t.Skipf("no pseudo-terminal here: %v", e)
		}
	}
	var number, unlocked int32
	control(syscall.TIOCGPTN, &number)
	control(syscall.TIOCSPTLCK, &unlocked)
	program, err = os.OpenFile(fmt.Sprintf("/dev/pts/%d", number), os.O_RDWR|syscall.O_NOCTTY, 0)
	if err != nil {
		t.Skipf("no pseudo-terminal here: %v", err)
	}
	t.Cleanup(func() { shows.Close(); program.Close() })
	return shows, program
}

// shown collects what a terminal shows.
type shown struct {
	mutex sync.Mutex
	text  bytes.Buffer
}

func (s *shown) follow(from io.Reader) {
	room := make([]byte, 4096)
	for {
		n, err := from.Read(room)
		s.mutex.Lock()
		s.text.Write(room[:n])
		s.mutex.Unlock()
		if err != nil {
			return
		}
	}
}

func (s *shown) String() string {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	return s.text.String()
}

// The built program on a terminal: progress shows while years are computed; an interrupt ends it at once with 130, leaves no line of
// progress, nothing on standard output and no half-written file; what was kept before still answers.
func TestInterruptEndsAtOnce(t *testing.T) {
	if testing.Short() {
		t.Skip("builds the program")
	}
	dir := t.TempDir()
	binary, folder := filepath.Join(dir, "hindwatt"), filepath.Join(dir, "product")
	if out, err := exec.Command("go", "build", "-o", binary, "hindwatt").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	if err := demo.Write(folder); err != nil {
		t.Fatal(err)
	}
	shows, program := terminal(t)
	var seen shown
	go seen.follow(shows)
	var out bytes.Buffer
	command := exec.Command(binary, "study", "charge", "--json", "--in", folder)
	command.Env = append(os.Environ(), "TERM=xterm")
	command.Stdout, command.Stderr = &out, program
	if err := command.Start(); err != nil {
		t.Fatal(err)
	}
	for begun := time.Now(); !strings.Contains(seen.String(), " of "); time.Sleep(5 * time.Millisecond) {
		if time.Since(begun) > time.Minute {
			command.Process.Kill()
			t.Fatalf("no progress after a minute: %q", seen.String())
		}
	}
	at := time.Now()
	command.Process.Signal(os.Interrupt)
	err := command.Wait()
	took := time.Since(at)
	var exit *exec.ExitError
	if !errors.As(err, &exit) || exit.ExitCode() != exitInterrupted {
		t.Errorf("%v, want exit %d", err, exitInterrupted)
	}
	t.Logf("ended after %v", took)
	if took > time.Second { // 0.2 s on a machine with nothing else to do
		t.Errorf("it took %v to end", took)
	}
	time.Sleep(50 * time.Millisecond)
	if text := seen.String(); !strings.HasSuffix(text, "\r\x1b[Khindwatt: interrupted\r\n") || strings.Count(text, "\n") != 1 {
		t.Errorf("the terminal shows %q", text)
	}
	if out.Len() > 0 {
		t.Errorf("standard output has %q", out.String())
	}
	drafts, err := filepath.Glob(filepath.Join(folder, kept.Dir, "draft-*"))
	if err != nil || len(drafts) > 0 {
		t.Errorf("half-written: %v, %v", drafts, err)
	}
}
