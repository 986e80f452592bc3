package cli

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"hindwatt/demo"
)

const sweep = `figures = ["setpoint.float-error"]
[sample]
count = 400
[input."product.sense.sensor_error"]
from = "-1 K"
to = "1 K"
[input."product.sense.offset"]
from = "-2 LSB"
to = "2 LSB"
`

// The built program, ended in the middle of a grid by an interrupt or killed outright, goes on to the rows of a run that nobody ended.
func TestGridGoesOnAfterASignal(t *testing.T) {
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
	rows := func(name string, signal os.Signal) string {
		file := filepath.Join(dir, name+".toml")
		if err := os.WriteFile(file, []byte(sweep), 0o644); err != nil {
			t.Fatal(err)
		}
		if signal != nil {
			interrupted(t, exec.Command(binary, "grid", file, "--in", folder), filepath.Join(dir, name+".rows"), signal)
		}
		out, err := exec.Command(binary, "grid", file, "--in", folder).Output()
		if err != nil {
			t.Fatal(err)
		}
		return string(out)
	}
	whole := rows("whole", nil)
	if strings.Count(whole, "\n") != 401 {
		t.Fatalf("%s", whole)
	}
	for name, signal := range map[string]os.Signal{"interrupt": os.Interrupt, "kill": syscall.SIGKILL} {
		if rows(name, signal) != whole {
			t.Errorf("%s: other rows", name)
		}
	}
}

// interrupted runs a command until it has written some rows, and ends it.
func interrupted(t *testing.T, command *exec.Cmd, rows string, signal os.Signal) {
	t.Helper()
	var says bytes.Buffer
	command.Stderr = &says
	if err := command.Start(); err != nil {
		t.Fatal(err)
	}
	for begun := time.Now(); ; time.Sleep(time.Millisecond) {
		if data, _ := os.ReadFile(rows); bytes.Count(data, []byte("\n")) > 2 {
			break
		}
		if time.Since(begun) > time.Minute {
			command.Process.Kill()
			t.Fatal("no rows after a minute")
		}
	}
	command.Process.Signal(signal)
	err := command.Wait()
	var exit *exec.ExitError
	if !errors.As(err, &exit) {
		t.Errorf("%v: it was done already", signal)
		return
	}
	if signal == os.Interrupt && (exit.ExitCode() != exitInterrupted || !strings.Contains(says.String(), "are kept in") || !strings.Contains(says.String(), "hindwatt: interrupted")) {
		t.Errorf("exit %d: %s", exit.ExitCode(), says.String())
	}
}
