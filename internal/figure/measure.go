package figure

import "strings"

// advances of Liberation Sans Regular for U+0020..U+007E, in 1/1000 of the size. Helvetica and Arial have the same.
// A table, so that laying out needs no font; a test compares it with the font.
var advances = [95]uint16{
	278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556, 556, 556, 556, 556, 556,
	556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778,
	667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556, 333, 556, 556, 500, 556, 556, 278, 556,
	556, 222, 222, 500, 222, 833, 556, 556, 556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
}

var otherAdvances = map[rune]uint16{
	'Ω': 748, '°': 400, 'µ': 576, '±': 549, '²': 333, '³': 333, '−': 584, '·': 333, '×': 584, '≤': 549, '≥': 549,
	'→': 1000, '←': 1000, '√': 549, 'Δ': 668, 'θ': 556, '–': 556, '—': 1000, '…': 1000, '’': 222,
}

// textWidth is the width of a text in px. Runes without an entry count as 0.6 of the size.
func textWidth(s string, size float64) float64 {
	sum := 0
	for _, r := range s {
		switch w, ok := otherAdvances[r]; {
		case ok:
			sum += int(w)
		case r >= ' ' && r <= '~':
			sum += int(advances[r-' '])
		default:
			sum += 600
		}
	}
	return float64(sum) / 1000 * size
}

// fit cuts a text to a width in px, with an ellipsis where it was cut.
func fit(s string, size, width float64) string {
	if textWidth(s, size) <= width {
		return s
	}
	runes := []rune(s)
	for n := len(runes) - 1; n > 0; n-- {
		if t := strings.TrimRight(string(runes[:n]), " ,;") + "…"; textWidth(t, size) <= width {
			return t
		}
	}
	return ""
}

// label is a text that wants to stand centred at X.
type label struct {
	x, width float64
	text     string
}

// place moves labels, given in rising order of X, so that they stand in low..high with a gap between them, each as near to its X
// as its neighbours allow. It reports whether they fit; if not, they are left alone.
func place(labels []label, low, high, gap float64) bool {
	need := -gap
	for _, l := range labels {
		need += l.width + gap
	}
	if need > high-low {
		return false
	}
	if n := len(labels); n == 2 {
		a, b := &labels[0], &labels[1]
		if short := (a.width+b.width)/2 + gap - (b.x - a.x); short > 0 {
			a.x, b.x = a.x-short/2, b.x+short/2
		}
	}
	edge := low
	for i := range labels {
		labels[i].x = max(labels[i].x, edge+labels[i].width/2)
		edge = labels[i].x + labels[i].width/2 + gap
	}
	edge = high
	for i := len(labels) - 1; i >= 0; i-- {
		labels[i].x = min(labels[i].x, edge-labels[i].width/2)
		edge = labels[i].x - labels[i].width/2 - gap
	}
	return true
}

// TextWidth is the width of a text of this size in a drawing, both in px.
func TextWidth(s string, size float64) float64 { return textWidth(s, size) }

// Fit cuts a text of this size to a width in px, with an ellipsis where it was cut; "" where not even that has room.
func Fit(s string, size, width float64) string { return fit(s, size, width) }
