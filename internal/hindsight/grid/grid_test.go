package grid

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"hindwatt/internal/product"
)

const example = "../../../demo/osier-24"

func folder(t testing.TB) *product.Folder {
	t.Helper()
	f, err := product.Read(example)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// some is 2 variants × 20 samples × 3 values of figures that are quick.
const some = `figures = ["setpoint.float-error", "setpoint.float"]
variants = ["", "tight-reference"]
seed = 4
[sample]
count = 20
[input."product.sense.sensor_error"]
from = "-1 K"
to = "1 K"
[input."product.sense.bottom"]
list = ["9.9 kΩ", "10 kΩ ±0.1 %", "10100 Ω"]
[input."product.sense.offset"]
from = "-2 LSB"
to = "2 LSB"
`

func write(t testing.TB, text string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "sweep.toml")
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}

func read(t testing.TB, file string) *Grid {
	t.Helper()
	g, err := Read(context.Background(), folder(t), file, 1)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

func compute(t testing.TB, g *Grid) string {
	t.Helper()
	r, err := g.Open(false)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	if err := r.Compute(context.Background()); err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := r.CSV(&out); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func TestRows(t *testing.T) {
	text := compute(t, read(t, write(t, some)))
	lines := strings.Split(strings.TrimSpace(text), "\n")
	if len(lines) != 1+2*20*3 {
		t.Fatalf("%d lines", len(lines))
	}
	if want := "point,variant,product.sense.sensor_error (K),product.sense.bottom (kΩ),product.sense.offset (LSB),setpoint.float-error (V),setpoint.float (V),why_not"; lines[0] != want {
		t.Errorf("head %s", lines[0])
	}
	seen := map[string]int{}
	for i, line := range lines[1:] {
		cells := strings.Split(line, ",")
		if cells[0] != fmt.Sprint(i+1) || cells[5] == "" || cells[6] == "" || cells[7] != "" {
			t.Errorf("row %d: %s", i+1, line)
		}
		seen[cells[1]]++
		seen[cells[3]]++
		seen[cells[2]]++
	}
	if seen[""] != 60 || seen["tight-reference"] != 60 || seen["9.9"] != 40 || seen["10"] != 40 || seen["10.1"] != 40 || len(seen) != 2+3+20 {
		t.Errorf("%v", seen)
	}
}

// A run that was ended at any byte goes on to the same rows, and computes no more than it has to.
func TestGoesOnAfterAKill(t *testing.T) {
	file := write(t, some)
	want := compute(t, read(t, file))
	rows := read(t, file).RowsFile()
	whole, err := os.ReadFile(rows)
	if err != nil {
		t.Fatal(err)
	}
	lines := bytes.SplitAfter(whole, []byte("\n"))
	head, second := len(lines[0]), len(lines[0])+len(lines[1])
	for _, c := range []struct {
		name string
		data []byte
		done int // points that are left of what was done
	}{
		{"in mid-line", whole[:second+len(lines[2])/2], chunkSize},
		{"before the end of a line", whole[:second-1], 0},
		{"in the head", whole[:head/2], 0},
		{"after the head", whole[:head], 0},
		{"empty", nil, 0},
		{"a byte of the last line changed", append(bytes.Clone(whole[:second+len(lines[2])-3]), 'x', '}', '\n'), chunkSize},
		{"whole", whole, 2 * 20 * 3},
	} {
		if err := os.WriteFile(rows, c.data, 0o644); err != nil {
			t.Fatal(err)
		}
		g := read(t, file)
		r, err := g.Open(false)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		done := r.Done()
		r.Close()
		if done != c.done {
			t.Errorf("%s: %d points are done; want %d", c.name, done, c.done)
		}
		if got := compute(t, g); got != want {
			t.Errorf("%s: other rows", c.name)
		}
	}
}

// An interrupted run keeps what it has, and goes on.
func TestInterruptedKeepsItsRows(t *testing.T) {
	file := write(t, some)
	g := read(t, file)
	r, err := g.Open(false)
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if err := r.Compute(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
	if err := r.CSV(&bytes.Buffer{}); err == nil {
		t.Error("rows were written that are not there")
	}
	r.Close()
	if compute(t, g) == "" {
		t.Error("no rows")
	}
}

func TestSameOnAnyCores(t *testing.T) {
	was := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(was)
	one := compute(t, read(t, write(t, some)))
	runtime.GOMAXPROCS(4)
	if many := compute(t, read(t, write(t, some))); many != one {
		t.Error("one core and four give other rows")
	}
	if other := compute(t, read(t, write(t, strings.Replace(some, "seed = 4", "seed = 5", 1)))); other == one {
		t.Error("another seed gives the same rows")
	}
}

func TestTwoRunsAtOnce(t *testing.T) {
	g := read(t, write(t, some))
	r, err := g.Open(false)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	var busy *Busy
	if _, err := g.Open(false); !errors.As(err, &busy) {
		t.Errorf("%v", err)
	}
}

func TestRowsOfSomethingElse(t *testing.T) {
	file := write(t, some)
	compute(t, read(t, file))
	if err := os.WriteFile(file, []byte(strings.Replace(some, "1 K", "2 K", 1)), 0o644); err != nil {
		t.Fatal(err)
	}
	g := read(t, file)
	if _, err := g.Open(false); err == nil || !strings.Contains(err.Error(), "holds rows of another grid") {
		t.Errorf("%v", err)
	}
	r, err := g.Open(true)
	if err != nil || r.Done() != 0 {
		t.Errorf("afresh: %v", err)
	}
	r.Close()
	if err := os.WriteFile(g.RowsFile(), []byte("mine\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, afresh := range []bool{false, true} {
		if _, err := g.Open(afresh); err == nil || !strings.Contains(err.Error(), "is no file of a grid's rows") {
			t.Errorf("afresh %v: %v", afresh, err)
		}
	}
	if data, _ := os.ReadFile(g.RowsFile()); string(data) != "mine\n" {
		t.Error("somebody's file was overwritten")
	}
}

// A point at which a study cannot be computed says why, and the others are computed.
func TestPointWithoutAFigure(t *testing.T) {
	text := compute(t, read(t, write(t, `figures = ["setpoint.float-error"]
[input."product.regulation.float"]
list = ["27.3 V", "900 V"]
`)))
	lines := strings.Split(strings.TrimSpace(text), "\n")
	if len(lines) != 3 || !strings.HasSuffix(lines[1], ",") || !strings.Contains(lines[2], "the study has no setpoint.float-error here") {
		t.Errorf("%s", text)
	}
}

func TestRefuses(t *testing.T) {
	f := folder(t)
	const head = "figures = [\"rating.current\"]\n"
	for text, want := range map[string][]string{
		"":               {"sweep.toml: figures: there are none"},
		"figures = []\n": {":1:11: figures: is empty"},
		"figures = [\"rating.curent\", \"setpoint.flaot\"]\n":                                 {`:1:12: figures: "rating.curent": is no figure of the rating study; did you mean current`, `:1:29: figures: "setpoint.flaot"`},
		head + "variants = []\n":                                                              {":2:12: variants: is empty"},
		head + "variants = [\"plastic-cas\"]\n":                                               {":2:13: variants:", "did you mean plastic-case"},
		head + "installations = [\"cold-pots\"]\n":                                            {":2:18: installations:", "did you mean cold-post"},
		head + "figurs = 1\n":                                                                 {":2:1: figurs: unknown key; did you mean figures"},
		head + "[input.\"product.enclosure.case.emissivity\"]\nlist = [0.3, 1.4, -1]\n":       {":3:14:", "out of range; want at least 0 and at most 1", ":3:19:"},
		head + "[input.\"product.enclosure.case.emissivity\"]\nlist = []\n":                   {":3:8:", "is empty; want a list of values such as \"0.8\""},
		head + "[input.\"product.enclosure.case.emissivity\"]\nfrom = 0.1\n":                  {":2:2:", "has no values"},
		head + "[input.\"product.enclosure.case.emissivity\"]\nfrom = 0.1\nto = 0.5\n":        {"has no count, and there is no [sample]"},
		head + "[input.\"product.enclosure.case.emissivity\"]\nfrom = 0.5\nto = 0.1\ncount=3": {":4:6:", "is not above from"},
		head + "[input.\"product.enclosure.case.emisivity\"]\nlist = [1]\n":                   {":2:", "did you mean product.enclosure.case.emissivity"},
		head + "[input.product.sense.top]\nlist = [\"1 kΩ\"]\n":                               {"want the whole path in quotes"},
		head + "[input.\"product.sense.bits\"]\nfrom = 8\nto = 12\ncount = 4\n":               {":5:9:", "gives parts of a count"},
		head + "[input.\"product.sense.top\"]\nlist = [\"1 V\"]\n":                            {":3:9:", "voltage"},
		head + "[sample]\ncount = 100\n":                                                      {":2:2: sample: has no input to spread points over"},
		head + "[input.\"product.sense.top\"]\nfrom=\"1 kΩ\"\nto=\"2 kΩ\"\ncount=9999999\n[input.\"product.sense.bottom\"]\nfrom=\"1 kΩ\"\nto=\"2 kΩ\"\ncount=2\n": {"more than 10 000 000 points"},
		"figures = [1]\n": {":1:12: figures: \"1\": is a number"},
		"figures = \n":    {":1:"},
	} {
		_, err := Read(context.Background(), f, write(t, text), 1)
		var all product.Errors
		if err == nil || !errors.As(err, &all) {
			t.Errorf("%s: %v", text, err)
			continue
		}
		for _, w := range want {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%s\ngives %v\nwant %s", text, err, w)
			}
		}
	}
}

func BenchmarkGrid(b *testing.B) {
	for _, cores := range []int{1, 2} {
		b.Run(fmt.Sprintf("cores=%d", cores), func(b *testing.B) {
			defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
			g := read(b, write(b, strings.NewReplacer("count = 20", "count = 200", `variants = ["", "tight-reference"]`, "", `"setpoint.float"`, `"rating.current"`).Replace(some)))
			for b.Loop() {
				r, err := g.Open(true)
				if err != nil {
					b.Fatal(err)
				}
				if err := r.Compute(context.Background()); err != nil {
					b.Fatal(err)
				}
				r.Close()
			}
			b.ReportMetric(float64(g.Points())*float64(b.N)/b.Elapsed().Seconds(), "points/s")
		})
	}
}
