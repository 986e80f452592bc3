//go:build unix

package product

import (
	"bufio"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

const (
	childRole = "PRODUCT_TEST_CHILD"
	childDir  = "PRODUCT_TEST_DIR"
)

// TestMain lets the test binary start itself as a writer that can be killed.
func TestMain(m *testing.M) {
	switch os.Getenv(childRole) {
	case "write":
		writeForEver(os.Getenv(childDir))
	case "full":
		writeToFullDisk(os.Getenv(childDir))
	default:
		os.Exit(m.Run())
	}
}

// writeForEver records rows and prints each one's note once it is acknowledged.
func writeForEver(dir string) {
	for i := 0; ; i++ {
		note := fmt.Sprintf("%d-%d", os.Getpid(), i)
		if _, err := Record(dir, "made", row("date", "2024-05-31", "note", note)); err != nil {
			fmt.Println("error", err)
			os.Exit(1)
		}
		fmt.Println(note)
	}
}

func child(t *testing.T, role, dir string) *exec.Cmd {
	self, err := os.Executable()
	if err != nil {
		t.Error(err)
	}
	cmd := exec.Command(self)
	cmd.Env = append(os.Environ(), childRole+"="+role, childDir+"="+dir)
	return cmd
}

// Writers are killed at random moments: two at a time in one folder, and, at the same time, single
// ones in folders of their own. Every row that was acknowledged is there, once, every file is whole,
// and the next writer goes on.
func TestKilledWritersLoseNothing(t *testing.T) {
	kills := 100
	if n, err := strconv.Atoi(os.Getenv("HINDWATT_KILLS")); err == nil {
		kills = n // .ci/run asks for 1,000
	}
	if testing.Short() {
		kills = 12
	}
	folders := []int{2, 1, 1} // writers at a time in each
	var all sync.WaitGroup
	for i, writers := range folders {
		dir := folder(t, map[string]string{"product.toml": bare12})
		all.Go(func() {
			if err := killWriters(t, dir, writers, (kills+3)/4*writers, rand.New(rand.NewPCG(1, uint64(i)))); err != nil {
				t.Errorf("%d writers at a time: %v", writers, err)
			}
		})
	}
	all.Wait()
}

// killWriters starts writers in a folder and kills them, some at a time, as often as is asked for,
// and then looks at what they left.
func killWriters(t *testing.T, dir string, atATime, kills int, random *rand.Rand) error {
	acknowledged := map[string]bool{}
	for range kills / atATime {
		notes, err := killedAtRandom(t, dir, atATime, random)
		if err != nil {
			return err
		}
		for _, note := range notes {
			acknowledged[note] = true
		}
	}
	if _, err := Record(dir, "made", row("date", "2024-05-31", "note", "last")); err != nil {
		return err
	}
	f, err := Read(dir)
	switch {
	case err != nil:
		return err
	case len(f.RecordErrors) > 0:
		return f.RecordErrors
	}
	seen := map[string]int{}
	for _, m := range f.Records.Made {
		seen[m.Note.Text]++
	}
	for note := range acknowledged {
		if seen[note] != 1 {
			t.Errorf("row %s was acknowledged and is there %d times", note, seen[note])
		}
	}
	if left, _ := filepath.Glob(filepath.Join(dir, "records", "*.torn")); len(left) > 0 {
		t.Errorf("%v", left)
	}
	if len(acknowledged) < kills/atATime {
		return fmt.Errorf("%d rows were acknowledged before %d kills", len(acknowledged), kills)
	}
	t.Logf("%d kills, %d at a time: %d rows acknowledged, %d written", kills, atATime, len(acknowledged), len(f.Records.Made))
	return nil
}

// killedAtRandom starts writers, kills them, and returns the notes of the rows that they acknowledged.
func killedAtRandom(t *testing.T, dir string, n int, random *rand.Rand) (notes []string, err error) {
	first := make(chan struct{}, n)
	var writers []*writer
	for range n {
		w, err := start(t, dir, first)
		if err != nil {
			return nil, err
		}
		writers = append(writers, w)
	}
	select {
	case <-first: // all write, or are about to
	case <-time.After(30 * time.Second):
		err = errors.New("nothing is written")
	}
	time.Sleep(time.Duration(random.IntN(20000)) * time.Microsecond)
	for _, w := range writers {
		err = errors.Join(err, w.cmd.Process.Kill())
		rows, fault := w.finish()
		notes, err = append(notes, rows...), errors.Join(err, fault)
	}
	return notes, err
}

type writer struct {
	cmd  *exec.Cmd
	rows chan []string
}

// start starts a writer, which sends to first when its first row is acknowledged.
func start(t *testing.T, dir string, first chan<- struct{}) (*writer, error) {
	w := &writer{cmd: child(t, "write", dir), rows: make(chan []string, 1)}
	out, err := w.cmd.StdoutPipe()
	if err != nil {
		return nil, err
	}
	if err := w.cmd.Start(); err != nil {
		return nil, err
	}
	go func() {
		var rows []string
		for lines := bufio.NewScanner(out); lines.Scan(); {
			if rows = append(rows, lines.Text()); len(rows) == 1 {
				first <- struct{}{}
			}
		}
		w.rows <- rows
	}()
	return w, nil
}

// finish returns the rows of a writer that was killed.
func (w *writer) finish() ([]string, error) {
	rows := <-w.rows
	_ = w.cmd.Wait()
	for _, r := range rows {
		if strings.HasPrefix(r, "error") {
			return nil, errors.New(r)
		}
	}
	return rows, nil
}

// writeToFullDisk records until a limit on the size of files stands for a full disk;
// then the file must be as it was.
func writeToFullDisk(dir string) {
	signal.Ignore(syscall.SIGXFSZ)
	const most = 600 // bytes
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: most, Max: most}); err != nil {
		fmt.Println("skip", err)
		return
	}
	file := filepath.Join(dir, "records/made.csv")
	for i := 0; i < 1000; i++ {
		before, err := os.ReadFile(file)
		if err != nil && !errors.Is(err, os.ErrNotExist) {
			fmt.Println(err)
			return
		}
		if _, err = Record(dir, "made", row("date", "2024-05-31", "note", strconv.Itoa(i))); err == nil {
			continue
		}
		after, _ := os.ReadFile(file)
		left, _ := filepath.Glob(filepath.Join(dir, "records", ".*"))
		_, setErr := Set(dir, "product.toml", "summary", strings.Repeat("x", most))
		product, _ := os.ReadFile(filepath.Join(dir, "product.toml"))
		fmt.Printf("%d rows, unchanged %v, left %v, %v; %v, product unchanged %v\n", i, string(before) == string(after), left, err, setErr, string(product) == bare12)
		return
	}
	fmt.Println("the disk never was full")
}

func TestFullDisk(t *testing.T) {
	dir := folder(t, map[string]string{"product.toml": bare12})
	out, err := child(t, "full", dir).Output()
	if err != nil {
		t.Fatal(err)
	}
	got := string(out)
	if strings.HasPrefix(got, "skip") {
		t.Skip(got)
	}
	// The header has 62 bytes, a row of one digit 21, of two digits 22: 10 and 14 rows fit into 600.
	const want = "24 rows, unchanged true, left [], records/made.csv: could not be written: file too large; the file is as it was; " +
		"product.toml: could not be written: file too large; the file is as it was, product unchanged true\n"
	if got != want {
		t.Errorf("got  %swant %s", got, want)
	}
}
