package figure

import (
	"bytes"
	"compress/zlib"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"os/exec"
	"regexp"
	"strings"
	"testing"

	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	fix "golang.org/x/image/math/fixed"
)

const signsThatMatter = "Ω°µ±²−·×≤≥√Δθ…"

func picture(t *testing.T, d Drawing, scale float64) image.Image {
	t.Helper()
	var b bytes.Buffer
	if err := d.PNG(&b, scale); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&b)
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// near allows for the smoothing of edges: 6 of 255.
func near(a, b color.Color) bool {
	r1, g1, b1, _ := a.RGBA()
	r2, g2, b2, _ := b.RGBA()
	d := func(x, y uint32) float64 { return math.Abs(float64(x)-float64(y)) / 257 }
	return d(r1, r2) < 6 && d(g1, g2) < 6 && d(b1, b2) < 6
}

func TestPNGPixels(t *testing.T) {
	s := strips["at-most"]
	d := s.Drawing(420)
	const scale = 4
	img := picture(t, d, scale)
	if size := img.Bounds().Size(); size != image.Pt(1680, int(d.Height)*scale) {
		t.Fatalf("size %v", size)
	}
	a := stripAxis(tidy(s.Marks), newBound(s.Min, s.Max), margin, 420-margin)
	row1, row2 := 6.0+18-pitch/2, 6.0+18+pitch/2
	for _, c := range []struct {
		what string
		v, y float64
		want color.Color
	}{
		{"inside the ring", .84, row1, Paper.onPaper()},
		{"interval within", .7, row1, Ink.onPaper()},
		{"interval outside", 1.22, row1, Over.onPaper()},
		{"interval that is thick", 1.22, row1 + 1.3, Over.onPaper()},
		{"interval outside, second mark", 1.45, row2, Over.onPaper()},
		{"triangle", 1.56, row2, Over.onPaper()},
		{"edge", 1.2, 4, Edge.onPaper()},
		{"outside", 1.9, row1, Paper.onPaper()},
	} {
		x := a.at(c.v)
		if c.what == "edge" {
			x = a.at(1.2)
		}
		if got := img.At(int(x*scale), int(c.y*scale)); !near(got, c.want) {
			t.Errorf("%s: %v at %g, %g; want %v", c.what, got, x, c.y, c.want)
		}
	}
	band, hatch := false, false
	for x := a.at(.1); x < a.at(.4); x += 0.25 {
		c := img.At(int(x*scale), int(20*scale))
		band, hatch = band || near(c, Band.onPaper()), hatch || near(c, HatchLine.onPaper())
	}
	if !band || !hatch {
		t.Errorf("band ground seen %v, hatching seen %v", band, hatch)
	}
}

// A dashed line has gaps, and the line after it none.
func TestPNGDashes(t *testing.T) {
	d := Drawing{Width: 100, Height: 30}
	d.line(0, 10, 100, 10, Stroke{Role: Ink, Width: 4, Dash: 5})
	d.line(0, 20, 100, 20, Stroke{Role: Ink, Width: 4})
	img := picture(t, d, 2)
	for y, want := range map[int][2]color.Color{20: {Ink.onPaper(), Paper.onPaper()}, 40: {Ink.onPaper(), Ink.onPaper()}} {
		for i := range 2 {
			if x := 5 + 10*i; !near(img.At(x, y), want[i]) {
				t.Errorf("at %d, %d: %v, want %v", x, y, img.At(x, y), want[i])
			}
		}
	}
}

// Each sign must be in the font, and be drawn unlike the box that stands for a missing one.
func TestPNGSigns(t *testing.T) {
	draw := func(s string) []byte {
		d := Drawing{Width: 30, Height: 30, Ops: []Op{Text{Point{5, 22}, 20, Ink, Start, s}}}
		img := picture(t, d, 2).(*image.RGBA)
		return img.Pix
	}
	missing, empty := draw("\U000FFFFF"), draw(" ")
	seen := map[string]rune{}
	for _, r := range signsThatMatter {
		pix := draw(string(r))
		if bytes.Equal(pix, missing) || bytes.Equal(pix, empty) {
			t.Errorf("%c is not drawn", r)
		}
		if other, ok := seen[string(pix)]; ok {
			t.Errorf("%c and %c look the same", r, other)
		}
		seen[string(pix)] = r
	}
}

func TestPNGRefuses(t *testing.T) {
	d := strips["within"].Drawing(0)
	for _, scale := range []float64{0, -1, math.NaN(), math.Inf(1), 1e5} {
		if err := d.PNG(io.Discard, scale); err == nil {
			t.Errorf("scale %g accepted", scale)
		}
	}
	if err := (&Drawing{}).PDF(io.Discard); err == nil {
		t.Error("a PDF of no size was written")
	}
}

// Equal bytes each time: nothing of the clock, nothing of a map's order.
func TestSinksAreDeterministic(t *testing.T) {
	for _, name := range []string{"strip-within", "budget", "curve-two"} {
		write := func() (string, string) {
			d := plots()[name].Drawing(0)
			var p, f bytes.Buffer
			if err := d.PNG(&p, 1); err != nil {
				t.Fatal(err)
			}
			if err := d.PDF(&f); err != nil {
				t.Fatal(err)
			}
			return p.String(), f.String()
		}
		p1, f1 := write()
		for range 3 {
			if p2, f2 := write(); p1 != p2 || f1 != f2 {
				t.Errorf("%s: PNG equal %v, PDF equal %v", name, p1 == p2, f1 == f2)
			}
		}
		if dates := regexp.MustCompile(`D:\d+`).FindAllString(f1, -1); len(dates) != 2 || dates[0] != "D:20000101000000" || dates[1] != dates[0] {
			t.Errorf("%s: dates %q are not the fixed ones", name, dates)
		}
		if strings.Contains(f1, "NaN") {
			t.Errorf("%s: NaN in the PDF", name)
		}
	}
}

var stream = regexp.MustCompile(`(?s)stream\n(.*?)\nendstream`)

// streams returns the inflated streams of a PDF.
func streams(pdf []byte) (out [][]byte) {
	for _, m := range stream.FindAllSubmatch(pdf, -1) {
		if r, err := zlib.NewReader(bytes.NewReader(m[1])); err == nil {
			if b, err := io.ReadAll(r); err == nil {
				out = append(out, b)
				continue
			}
		}
		out = append(out, m[1])
	}
	return out
}

// A PDF holds a text as UTF-16BE codes that a table takes to the glyphs of the embedded font: for each sign the code must be in the
// page, and must lead to a glyph (ISO 32000-1:2008, 9.7.4.2: CIDToGIDMap, two bytes a code).
func TestPDFSigns(t *testing.T) {
	d := Drawing{Width: 300, Height: 30, Ops: []Op{Text{Point{5, 22}, 12, Ink, Start, signsThatMatter}}}
	var b bytes.Buffer
	if err := d.PDF(&b); err != nil {
		t.Fatal(err)
	}
	all := streams(b.Bytes())
	var table []byte
	for _, s := range all {
		if len(s) == 2*65536 {
			table = s
		}
	}
	if table == nil || !bytes.Contains(b.Bytes(), []byte("/FontFile2")) {
		t.Fatal("no embedded font, or no table from codes to glyphs")
	}
	for _, r := range signsThatMatter {
		code := []byte{byte(r >> 8), byte(r)}
		if !bytes.Contains(all[0], code) {
			t.Errorf("%c is not in the page", r)
		}
		if table[2*r] == 0 && table[2*r+1] == 0 {
			t.Errorf("%c has no glyph", r)
		}
	}
	if _, err := exec.LookPath("pdftotext"); err == nil {
		cmd := exec.Command("pdftotext", "-", "-")
		cmd.Stdin = &b
		if out, err := cmd.Output(); err != nil || strings.TrimSpace(string(out)) != signsThatMatter {
			t.Errorf("pdftotext reads %q, %v", out, err)
		}
	}
}

// The font itself is the outside source of the table of widths.
func TestAdvancesAreTheFonts(t *testing.T) {
	f, err := sfnt.Parse(liberationsansregular.TTF)
	if err != nil {
		t.Fatal(err)
	}
	var b sfnt.Buffer
	check := func(r rune, got uint16) {
		glyph, err := f.GlyphIndex(&b, r)
		if err != nil || glyph == 0 {
			t.Fatalf("%c: no glyph, %v", r, err)
		}
		if want, _ := f.GlyphAdvance(&b, glyph, fix.I(1000), font.HintingNone); want.Round() != int(got) {
			t.Errorf("%c: %d, font %d", r, got, want.Round())
		}
	}
	for i, w := range advances {
		check(rune(' '+i), w)
	}
	for r, w := range otherAdvances {
		check(r, w)
	}
}

// WCAG 2.2: relative luminance and contrast ratio; 4.5 for text (1.4.3), 3 for what graphics need (1.4.11).
func TestContrast(t *testing.T) {
	luminance := func(c uint32) float64 {
		part := func(shift uint) float64 {
			v := float64(c>>shift&0xff) / 255
			if v <= 0.04045 {
				return v / 12.92
			}
			return math.Pow((v+0.055)/1.055, 2.4)
		}
		return 0.2126*part(16) + 0.7152*part(8) + 0.0722*part(0)
	}
	ratio := func(a, b uint32) float64 {
		x, y := luminance(a), luminance(b)
		return (max(x, y) + 0.05) / (min(x, y) + 0.05)
	}
	if r := ratio(0xffffff, 0); math.Abs(r-21) > 1e-9 {
		t.Fatalf("white to black is %g, 21 by definition", r)
	}
	for name, p := range map[string][roles]uint32{"light": light, "dark": dark} {
		for r, least := range map[Role]float64{Ink: 4.5, Soft: 4.5, Accent: 4.5, Over: 4.5, Edge: 3, Bar: 3} {
			if got := ratio(p[r], p[Paper]); got < least {
				t.Errorf("%s %s on paper: %.2f, want %g", name, names[r], got, least)
			}
		}
		for _, r := range []Role{Ink, Soft} {
			if got := ratio(p[r], p[Band]); got < 4.5 {
				t.Errorf("%s %s on the band: %.2f", name, names[r], got)
			}
		}
	}
}

// A text that is not UTF-8 must not stop a file from being written.
func TestSinksTakeAnyText(t *testing.T) {
	d := Drawing{Width: 90, Height: 20, Title: "a\x00\xff", Description: "\xf0\x9f", Ops: []Op{Text{At: Point{45, 12}, Size: 10, Role: Ink, Anchor: Middle, Text: "\xc3 \x1b"}}}
	for name, write := range map[string]func(io.Writer) error{"pdf": d.PDF, "png": func(w io.Writer) error { return d.PNG(w, 1) }} {
		if err := write(io.Discard); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}
