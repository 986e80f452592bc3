package diagram

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hindwatt/internal/numeric"
)

// read reads a circuit of testdata: name, kind, label, place, then the nodes of its ends; "-" is empty and "_" a space.
func read(t testing.TB, name string) Circuit {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", name+".circuit"))
	if err != nil {
		t.Fatal(err)
	}
	c := Circuit{Title: name}
	for line := range strings.Lines(string(data)) {
		f := strings.Fields(line)
		text := func(i int) string {
			if f[i] == "-" {
				return ""
			}
			return strings.ReplaceAll(f[i], "_", " ")
		}
		p := Part{Name: f[0], Kind: f[1], Label: text(2), Place: text(3)}
		for _, node := range f[4:] {
			p.Ends = append(p.Ends, End{Node: node})
		}
		c.Parts = append(c.Parts, p)
	}
	return c
}

var circuits = []string{"demo", "series-negative", "series-negative-lead", "series-positive", "shunt", "back-to-back", "odd", "bare"}

func TestPictures(t *testing.T) {
	dir := os.Getenv("PICTURES")
	if dir == "" {
		t.Skip("PICTURES names no folder to draw into")
	}
	all := map[string]Circuit{"flow": flowing(t)}
	for _, name := range circuits {
		all[name] = read(t, name)
	}
	for _, parts := range []int{8, 14, 25} {
		s := numeric.NewStream(5, uint64(parts))
		all[fmt.Sprint("random", parts)] = anyCircuit(&s, parts)
	}
	for name, c := range all {
		d := c.Drawing(0)
		var b bytes.Buffer
		if err := d.PNG(&b, 2); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name+".png"), b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// flowing is the demo as it charges at 10 A and feeds 3 A, with a part that gives way.
func flowing(t testing.TB) Circuit {
	c := read(t, "demo")
	for name, i := range map[string]float64{"j3": 10, "d1": 10, "q1": 10, "tr1": -7, "j2": -7, "w1": -7, "f1": -7, "j1": -7, "j4": 3, "q2": 3, "d2": 0.01, "u1": 0.01, "u2": 0.01} {
		c.Flows = append(c.Flows, Flow{name, i})
	}
	c.Marks = []Mark{{"d1", "gives way"}, {"q2", "1.4 × its limit"}}
	return c
}
