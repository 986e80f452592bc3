package page

import (
	"io"
	"strings"
	"testing"

	"hindwatt/internal/figure"
)

func textOf(t *testing.T, v interface {
	Text(io.Writer, int, figure.TextStyle) error
}, width int, style figure.TextStyle) string {
	t.Helper()
	var b strings.Builder
	if err := v.Text(&b, width, style); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestTextGolden(t *testing.T) {
	for name, c := range map[string]struct {
		width int
		style figure.TextStyle
	}{
		"80.txt": {80, figure.TextStyle{}}, "80-ascii.txt": {80, figure.TextStyle{ASCII: true}}, "80-colour.txt": {80, figure.TextStyle{Colour: true}},
		"120.txt": {120, figure.TextStyle{}}, "40-ascii.txt": {40, figure.TextStyle{ASCII: true}},
	} {
		text := textOf(t, fixture(), c.width, c.style) + "\n" + strings.Repeat("=", c.width) + "\n\n" + textOf(t, fixturePage(), c.width, c.style)
		golden(t, name, strings.ReplaceAll(text, "\x1b", "ESC"))
	}
}

func TestTextKeepsToItsWidth(t *testing.T) {
	for width := 30; width < 140; width++ {
		for _, style := range []figure.TextStyle{{}, {ASCII: true}, {Colour: true}} {
			for _, text := range []string{textOf(t, fixture(), width, style), textOf(t, fixturePage(), width, style)} {
				for _, l := range strings.Split(text, "\n") {
					if n := figure.Columns(l); n > width {
						t.Fatalf("at %d: %d columns: %q", width, n, l)
					}
					if strings.HasSuffix(l, " ") || strings.Contains(l, "\u00a0") {
						t.Fatalf("at %d: %q ends in a space or holds one that does not break", width, l)
					}
					if i := strings.IndexFunc(l, func(r rune) bool { return r < ' ' || r > '~' }); style.ASCII && i >= 0 {
						t.Fatalf("not ASCII: %q", l)
					}
				}
			}
		}
	}
}

// Nothing may be lost on the way to the terminal: each number and unit of the fixture's cells is there at any width.
func TestTextHoldsEveryCell(t *testing.T) {
	for _, width := range []int{40, 80, 120} {
		text := strings.Join(strings.Fields(textOf(t, fixturePage(), width, figure.TextStyle{})), "")
		for _, table := range fixturePage().Tables {
			for _, row := range table.Rows {
				for _, cell := range row {
					for _, word := range strings.Fields(cell) {
						if !strings.Contains(text, word) {
							t.Errorf("at %d columns %q is missing", width, word)
						}
					}
				}
			}
		}
		for _, i := range fixturePage().Inputs {
			if width >= 80 && !strings.Contains(text, i.Name) {
				t.Errorf("at %d columns %q is missing", width, i.Name)
			}
		}
	}
}

// Columns align by what is seen: ± and Ω take two bytes and one column.
func TestTableAligns(t *testing.T) {
	p := newPaper(60, figure.TextStyle{})
	p.table(Table{Head: []string{"part", "value"}, Align: "lr", Rows: [][]string{{"Rtop", "120 kΩ ±1 %"}, {"µ", "1 V"}, {"short"}}})
	want := "part         value\nRtop   120 kΩ ±1 %\nµ              1 V\nshort\n"
	if p.String() != want {
		t.Errorf("got\n%swant\n%s", p.String(), want)
	}
}

func TestBind(t *testing.T) {
	for s, want := range map[string]string{
		"27.3 V at 25 °C, 88 % of 3 units": "27.3\u00a0V at 25\u00a0°C, 88\u00a0% of 3 units",
		"130 kΩ to 10 kΩ.":                 "130\u00a0kΩ to 10\u00a0kΩ.",
		"no number V":                      "no number V",
		"":                                 "",
	} {
		if got := bind(s); got != want {
			t.Errorf("bind(%q) = %q, want %q", s, got, want)
		}
	}
}

func TestSentence(t *testing.T) {
	for s, want := range map[string]string{"never stops": "never stops.", "Stop.": "Stop.", "why?": "why?", "": "", "25 °C": "25 °C."} {
		if got := sentence(s); got != want {
			t.Errorf("sentence(%q) = %q, want %q", s, got, want)
		}
	}
}

func TestOpening(t *testing.T) {
	for in, want := range map[string]string{
		"": "", "use a larger part": "Use a larger part", "d1 is small": "d1 is small", "bench-2 is old": "bench-2 is old", "µ": "Μ",
	} {
		if got := opening(in); got != want {
			t.Errorf("opening(%q) = %q, want %q", in, got, want)
		}
	}
}
