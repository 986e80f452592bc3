package diagram

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"hindwatt/internal/figure"
	"hindwatt/internal/numeric"
)

var update = flag.Bool("update", false, "write the golden files anew")

// golden compares text with testdata/name; a missing file fails.
func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v; go test -update writes it", err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("%s (-want +got):\n%s", file, diff)
	}
}

func TestGolden(t *testing.T) {
	for _, name := range circuits {
		c := read(t, name)
		d := c.Drawing(0)
		golden(t, name+".svg", d.Inline())
		golden(t, name+".txt", strings.Join(c.Text(80, figure.TextStyle{ASCII: true}), "\n")+"\n")
	}
	d := flowing(t).Drawing(640)
	golden(t, "flow.svg", d.Inline())
}

// The same circuit draws the same bytes, and its parts in another order the same connections.
func TestSameBytes(t *testing.T) {
	s := numeric.NewStream(3)
	c := anyCircuit(&s, 30)
	first := c.Drawing(0)
	for range 3 {
		if again := c.Drawing(0); again.Inline() != first.Inline() {
			t.Fatal("two drawings differ")
		}
	}
	numeric.Shuffle(&s, c.Parts)
	check(t, c)
}

// A phone gets a drawing that is wider than it, never one whose words are below 9 px.
func TestWidths(t *testing.T) {
	for _, width := range []float64{0, 1, 360, 640, 1200, 5000, math.Inf(1), math.NaN(), -3} {
		for _, name := range circuits {
			d := read(t, name).Drawing(width)
			for _, op := range d.Ops {
				if text, ok := op.(figure.Text); ok && text.Size < 9-1e-9 {
					t.Fatalf("%s at %g: %q has %g px", name, width, text.Text, text.Size)
				}
			}
			if d.Width > 1200 && width <= 1200 {
				t.Errorf("%s at %g is %g wide", name, width, d.Width)
			}
			if width > 0 && width < d.Width && d.Width > 930 {
				t.Errorf("%s at %g takes %g", name, width, d.Width)
			}
		}
	}
}

var notANumber = regexp.MustCompile(`NaN|Inf|[" LM]-0[" L]`)

// Whatever stands in the netlist: well-formed XML, no NaN, terminal lines within their width and in ASCII.
func TestHostile(t *testing.T) {
	all := []Circuit{
		{},
		{Title: "<script>\x00\xff", Parts: []Part{{}}},
		{Parts: []Part{{Name: "</svg>", Kind: "\x1b[31m", Label: strings.Repeat("long ", 100), Ends: []End{{Node: "a\nb"}, {Node: "<"}}}}, Source: "a & b"},
		{Parts: []Part{{Name: "q", Kind: "mosfet"}, {Name: "q", Kind: "MOSFET ", Ends: []End{{Pin: "gate", Node: "g"}, {Pin: "source", Node: "pv-"}, {Pin: "drain", Node: "bat-"}}}}},
		{Parts: []Part{{Name: "q", Kind: "p-mosfet", Ends: []End{{"gate", "a"}, {"gate", "b"}, {"drain", "c"}}}}},
		{Parts: []Part{{Name: "loop", Kind: "diode", Ends: []End{{Node: "pv+"}, {Node: "pv+"}}}}, Flows: []Flow{{"loop", math.NaN()}, {"none", 3}}, Marks: []Mark{{"none", "x"}, {"loop", ""}}},
		{Parts: []Part{{Name: "short", Kind: "wire", Ends: []End{{Node: "bat+"}, {Node: "bat-"}}}}, Flows: []Flow{{"short", math.Inf(1)}}},
		{Parts: []Part{{Name: "wrong", Kind: "diode", Ends: []End{{Node: "pv+"}, {Node: "bat-"}}}, {Name: "way", Kind: "diode", Ends: []End{{Node: "bat+"}, {Node: "pv-"}}}}, Flows: []Flow{{"wrong", math.MaxFloat64}, {"way", math.MaxFloat64}}},
		flowing(t),
	}
	for i, c := range all {
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			d := c.Drawing(360)
			svg := string(d.SVG())
			if m := notANumber.FindString(svg); m != "" {
				t.Errorf("%q in the file", m)
			}
			dec := xml.NewDecoder(strings.NewReader(svg))
			for {
				if _, err := dec.Token(); errors.Is(err, io.EOF) {
					break
				} else if err != nil {
					t.Fatal(err)
				}
			}
			for _, sink := range []func(io.Writer) error{d.PDF, func(w io.Writer) error { return d.PNG(w, 1) }} {
				if err := sink(&bytes.Buffer{}); err != nil {
					t.Error(err)
				}
			}
			for _, width := range []int{20, 40, 80, 120} {
				for _, line := range c.Text(width, figure.TextStyle{ASCII: true}) {
					if figure.Columns(line) > width || strings.ContainsFunc(line, func(r rune) bool { return r < ' ' || r > '~' }) {
						t.Errorf("%d columns: %q", width, line)
					}
				}
			}
			if len(c.Parts) > 0 {
				check(t, c)
			}
		})
	}
}

// Everything of a netlist stands in the terminal too: each part, and each end at its node.
func TestTextNamesAll(t *testing.T) {
	for i := range 60 {
		s := numeric.NewStream(23, uint64(i))
		c := anyCircuit(&s, 1+i%40)
		text := " " + strings.Join(strings.Fields(strings.Join(c.Text(100, figure.TextStyle{}), " ")), " ") + " "
		for _, p := range c.Parts {
			if strings.Count(text, " "+p.Name+" ") < 2 {
				t.Errorf("%d: %s is not in both a path and the list:\n%s", i, p.Name, text)
			}
			for _, e := range p.Ends {
				if e.Node != "" && !strings.Contains(text, " "+e.Node+" ") {
					t.Errorf("%d: %s of %s is missing:\n%s", i, e.Node, p.Name, text)
				}
			}
		}
	}
}

func TestDescription(t *testing.T) {
	c := read(t, "series-negative")
	c.Marks = []Mark{{"diode", "1.8 times its limit"}}
	d := c.Drawing(0)
	for _, want := range []string{"Circuit of 11 parts.", "plus: pv+ - diode > bus - fuse - bat+.", "minus: pv- - switch - bat-.", "diode: 1.8 times its limit."} {
		if !strings.Contains(d.Description, want) {
			t.Errorf("%q is not in %q", want, d.Description)
		}
	}
}
