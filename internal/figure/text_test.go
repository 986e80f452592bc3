package figure

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"hindwatt/internal/quantity"
	"pgregory.net/rapid"
)

func TestTextGolden(t *testing.T) {
	for name, style := range map[string]TextStyle{"unicode": {}, "ascii": {ASCII: true}, "colour": {Colour: true}} {
		var b strings.Builder
		all := plots()
		for _, plot := range slices.Sorted(maps.Keys(all)) {
			b.WriteString("== " + plot + "\n" + strings.Join(all[plot].Text(80, style), "\n") + "\n")
		}
		golden(t, name+".txt", strings.ReplaceAll(b.String(), "\x1b", "ESC"))
	}
}

func TestTextKeepsToItsWidth(t *testing.T) {
	for name, p := range plots() {
		for width := 24; width < 150; width += 3 {
			for _, style := range []TextStyle{{}, {ASCII: true}, {Colour: true}} {
				for _, l := range p.Text(width, style) {
					if n := Columns(l); n > width {
						t.Fatalf("%s at %d: %d columns: %q", name, width, n, l)
					}
					if i := strings.IndexFunc(l, func(r rune) bool { return r < ' ' || r > '~' }); style.ASCII && i >= 0 {
						t.Fatalf("%s: not ASCII: %q", name, l)
					}
					if strings.Contains(l, "NaN") || strings.Contains(l, "Inf") {
						t.Fatalf("%s: %q", name, l)
					}
				}
			}
		}
	}
}

func TestAnyStripIsWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anyStrip(t)
		for _, l := range s.Text(80, TextStyle{ASCII: true}) {
			if len(l) > 80 || strings.Contains(l, "NaN") || strings.Contains(l, "Inf") {
				t.Fatalf("%q", l)
			}
		}
	})
}

// An ASCII spelling must mean the same to the reader of the folder's files.
func TestASCIIMeansTheSame(t *testing.T) {
	for _, s := range []string{"10 kΩ ±1 % ±50 ppm/K", "-10..45 °C", "27.3 V", "4.7 µF ±20 %", "2.5 mm²", "-48 mV/K", "900 W/m²", "3 µA", "2.4 mΩ..3.1 mΩ"} {
		want, err := quantity.Parse(s)
		if err != nil {
			t.Fatalf("%q: %v", s, err)
		}
		got, err := quantity.Parse(TextStyle{ASCII: true}.Show(s))
		if err != nil || got.String() != want.String() {
			t.Errorf("%q shows as %q: %v, %v; want %v", s, TextStyle{ASCII: true}.Show(s), got, err, want)
		}
	}
}

func TestShow(t *testing.T) {
	for s, want := range map[string]string{"a\tb\x1b[31m\xff": "a b [31m?", "café − “x”…": `cafe - "x"...`, "√(Σuᵢ²)": "sqrt(sum ui2)", "日": "?"} {
		if got := (TextStyle{ASCII: true}).Show(s); got != want {
			t.Errorf("Show(%q) = %q, want %q", s, got, want)
		}
	}
	if got := (TextStyle{}).Show("Ω\x1b[2J\n"); got != "Ω [2J " {
		t.Errorf("a control sequence passes: %q", got)
	}
}

func TestColumns(t *testing.T) {
	// East Asian width: Unicode Standard Annex #11.
	for s, want := range map[string]int{"": 0, "±Ω µ°²": 6, "e\u0301": 1, "日本": 4, "\x1b[1;38;5;166mx\x1b[0m": 1, "╱─○■▲": 5} {
		if got := Columns(s); got != want {
			t.Errorf("Columns(%q) = %d, want %d", s, got, want)
		}
	}
}

func TestWrap(t *testing.T) {
	for _, c := range []struct {
		text string
		n    int
		want []string
	}{
		{"", 10, []string{""}},
		{"one two three", 7, []string{"one two", "three"}},
		{"27.3\u00a0V at 25\u00a0°C", 9, []string{"27.3\u00a0V at", "25\u00a0°C"}},
		{"regulation.temperature", 14, []string{"regulation.", "temperature"}},
		{"abcdefgh", 3, []string{"abc", "def", "gh"}},
		{"日本語", 1, []string{"日本語"}},
	} {
		if got := Wrap(c.text, c.n); !slices.Equal(got, c.want) {
			t.Errorf("Wrap(%q, %d) = %q, want %q", c.text, c.n, got, c.want)
		}
	}
}

func TestShorten(t *testing.T) {
	if got := (TextStyle{}).Shorten("calculated, for units", 12); got != "calculated…" {
		t.Errorf("%q", got)
	}
	if got := (TextStyle{ASCII: true}).Shorten("calculated, for units", 12); got != "calculate..." {
		t.Errorf("%q", got)
	}
}
