package figure

import (
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"maps"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
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

func TestSVGGolden(t *testing.T) {
	all := plots()
	for _, name := range slices.Sorted(maps.Keys(all)) {
		d := all[name].Drawing(0)
		golden(t, name+".svg", d.Inline())
	}
	for _, name := range []string{"distribution", "budget", "curve-two"} {
		d := all[name].Drawing(340)
		golden(t, name+"-narrow.svg", d.Inline())
	}
	d := all["strip-within"].Drawing(0)
	golden(t, "standalone.svg", string(d.SVG()))
}

// XML 1.0 (fifth edition) decides what is well formed; the Go parser holds to it.
func TestSVGWellFormed(t *testing.T) {
	for name, p := range plots() {
		for _, width := range []float64{0, 1, 120, 340, 2000} {
			d := p.Drawing(width)
			for _, text := range []string{d.Inline(), string(d.SVG())} {
				dec := xml.NewDecoder(strings.NewReader(text))
				for {
					_, err := dec.Token()
					if errors.Is(err, io.EOF) {
						break
					}
					if err != nil {
						t.Fatalf("%s at %g px: %v", name, width, err)
					}
				}
			}
		}
	}
}

var (
	notANumber = regexp.MustCompile(`NaN|Inf|[" LM]-0[" L]`)
	identifier = regexp.MustCompile(`\bid=|url\(|href|style="`)
)

func TestSVGHasNoNaNAndNoIdentifier(t *testing.T) {
	for name, p := range plots() {
		d := p.Drawing(0)
		svg := d.Inline()
		if m := notANumber.FindString(svg); m != "" {
			t.Errorf("%s: %q in the file", name, m)
		}
		if m := identifier.FindString(svg); m != "" {
			t.Errorf("%s: %q in the file, which would clash with a second drawing or a policy", name, m)
		}
	}
	if s := (Strip{Quantity: `<script>"&'`}).Drawing(0); strings.Contains(s.Inline(), "<script") {
		t.Error("a text is not escaped")
	}
}

// A drawing made by hand may hold anything; no sink may write it as NaN.
func TestSVGCleansPlaces(t *testing.T) {
	nan := math.NaN()
	d := Drawing{Width: 10, Height: 10, Ops: []Op{Line{[]Point{{-0.001, nan}, {1e300, -1e300}}, Stroke{Role: Ink, Width: 1}}}}
	if svg := d.Inline(); !strings.Contains(svg, `d="M0 0L1000000 -1000000"`) {
		t.Error(svg)
	}
}

func TestFixed(t *testing.T) {
	for v, want := range map[float64]string{0: "0", -0.0001: "0", 1: "1", 1.5: "1.5", -2.255: "-2.25", 100: "100", 0.999: "1"} {
		if got := fixed(v); got != want {
			t.Errorf("fixed(%v) = %q, want %q", v, got, want)
		}
	}
}
