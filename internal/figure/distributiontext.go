package figure

import (
	"math"
	"strings"
)

const textRows = 6 // lines of columns in a terminal

// Text writes the distribution: columns over an axis with the bound's edges, then the marks on their band.
func (d Distribution) Text(width int, style TextStyle) []string {
	bins, marks, b := d.valid(), tidy(d.Marks), newBound(d.Min, d.Max)
	wide := float64(min(72, max(width-4, 12)))
	a := d.axis(bins, marks, b, 0, wide-1)
	lines := []string{style.Shorten(d.title(), width)}
	if name := axisName(d.Quantity, d.Unit); name != d.title() {
		lines = append(lines, style.Shorten(name, width))
	}
	lines = append(lines, "")
	if len(bins) > 0 {
		lines = append(lines, columnRows(heights(bins, a), a, b, style)...)
	}
	lines = append(lines, strings.Repeat(style.Show(rule(style)), int(wide)))
	for i := range marks {
		lines = append(lines, row(&marks[i], a, b, d.Unit, style))
	}
	lines = append(lines, axisText(a, boundLabels(b, a, d.MinText, d.MaxText, d.Unit), d.Unit, style)...)
	if d.Inside != "" {
		lines = append(lines, style.Shorten(d.Inside, width))
	}
	return lines
}

func rule(style TextStyle) string {
	if style.ASCII {
		return "-"
	}
	return "─"
}

// heights returns the density of the bins in each column of the axis, the greatest being 1.
func heights(bins []Bin, a axis) []float64 {
	out := make([]float64, int(a.to)+1)
	size := (a.high - a.low) / a.to
	most := 0.0
	for i := range out {
		low, high := a.low+(float64(i)-0.5)*size, a.low+(float64(i)+0.5)*size
		for _, c := range bins {
			if part := min(high, c.High) - max(low, c.Low); part > 0 {
				out[i] += c.Count * part / (c.High - c.Low)
			}
		}
		most = max(most, out[i])
	}
	for i := range out {
		if most > 0 {
			out[i] /= most
		}
	}
	return out
}

// columnRows draws heights as text, eight steps a line where blocks can be shown, one in ASCII.
func columnRows(heights []float64, a axis, b bound, style TextStyle) []string {
	blocks := []rune(" ▁▂▃▄▅▆▇█")
	if style.ASCII {
		blocks = []rune(" #")
	}
	steps := len(blocks) - 1
	size := (a.high - a.low) / a.to
	var lines []string
	for r := textRows - 1; r >= 0; r-- {
		cells := make([]cell, len(heights))
		for i, h := range heights {
			level := int(math.Round(h*float64(textRows*steps))) - r*steps
			cells[i] = cell{blocks[max(0, min(steps, level))], ""}
			if h > 0 && level <= 0 && r == 0 {
				cells[i].sign = []rune(style.Show("."))[0]
			}
			if !b.holds(a.low + float64(i)*size) {
				cells[i].sgr = sgrOver
			}
		}
		for _, v := range []float64{b.min, b.max} {
			if i := int(math.Round(a.at(v))); a.holds(v) && cells[i].sign == ' ' {
				cells[i] = cell{style.signs().edge, sgrBand}
			}
		}
		lines = append(lines, paint(cells, style))
	}
	return lines
}
