package intake

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// Four imports of the same file at once, each prepared before any of them writes: the rows are there once.
func TestAtOnce(t *testing.T) {
	dir := folder(t, map[string]string{"t.csv": "date,serial\n2024-05-31,1\n2024-05-31,2\n"})
	var plans []*Plan
	for range 4 {
		p, err := Prepare(dir, filepath.Join(dir, "t.csv"), Options{Kind: "sold"})
		if err != nil {
			t.Fatal(err)
		}
		plans = append(plans, p)
	}
	wrote := make([]error, len(plans))
	var all sync.WaitGroup
	for i, p := range plans {
		all.Go(func() { _, wrote[i] = p.Write() })
	}
	all.Wait()
	done := 0
	for _, err := range wrote {
		if err == nil {
			done++
		} else if !strings.Contains(err.Error(), "recorded meanwhile") {
			t.Error(err)
		}
	}
	if got := strings.Count(read(t, dir, "records/sold.csv"), "2024-05-31"); done != 1 || got != 2 {
		t.Errorf("%d wrote, %d rows; want 1 and 2", done, got)
	}
}

const killedRows = 2000

// TestMain is the child that TestKilled kills, if it is asked for.
func TestMain(m *testing.M) {
	dir := os.Getenv("HINDWATT_TEST_IMPORT")
	if dir == "" {
		os.Exit(m.Run())
	}
	p, err := Prepare(dir, filepath.Join(dir, "t.csv"), Options{Kind: "sold"})
	if err != nil {
		fmt.Println(err)
		os.Exit(2)
	}
	fmt.Println("ready")
	if _, err := p.Write(); err != nil {
		fmt.Println(err)
		os.Exit(2)
	}
	fmt.Println("written")
	os.Exit(0)
}

// An import that is killed wrote all of its rows or none, and what was there before stays; what it said it wrote is there.
func TestKilled(t *testing.T) {
	var text strings.Builder
	text.WriteString("date,serial\n")
	for i := range killedRows {
		fmt.Fprintf(&text, "2024-05-31,%05d\n", i)
	}
	const old = "date,serial\n2024-01-01,old\n"
	none, whole := 0, 0
	for n := range 10 {
		dir := folder(t, map[string]string{"t.csv": text.String(), "records/sold.csv": old})
		said := killed(t, dir, time.Duration(n)*3*time.Millisecond)
		got := read(t, dir, "records/sold.csv")
		rows := strings.Count(got, "2024-05-31")
		switch {
		case !strings.Contains(got, "2024-01-01,old"), rows != 0 && rows != killedRows, rows == 0 && strings.Contains(said, "written"):
			t.Fatalf("kill %d: %d rows, said %q", n, rows, said)
		case rows == 0:
			none++
		default:
			whole++
		}
	}
	t.Logf("killed before: %d, after: %d", none, whole)
	if none == 0 || whole == 0 {
		t.Log("the kills fell all on one side; the machine is faster or slower than the delays")
	}
}

// killed starts an import in a process of its own, kills it a while after it is ready, and returns what it said.
func killed(t *testing.T, dir string, after time.Duration) string {
	t.Helper()
	child := exec.Command(os.Args[0])
	child.Env = append(os.Environ(), "HINDWATT_TEST_IMPORT="+dir)
	out, err := child.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := child.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	if !lines.Scan() || lines.Text() != "ready" {
		t.Fatalf("the child said %q", lines.Text())
	}
	time.Sleep(after)
	if err := child.Process.Kill(); err != nil && err != os.ErrProcessDone {
		t.Fatal(err)
	}
	said := ""
	for lines.Scan() {
		said += lines.Text()
	}
	child.Wait()
	return said
}
