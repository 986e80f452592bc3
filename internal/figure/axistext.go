package figure

import (
	"math"
	"strings"
)

// minusASCII turns minus signs into hyphens, so that a number can be copied from a terminal.
func minusASCII(s string) string { return strings.ReplaceAll(s, "−", "-") }

// axisText writes the bound's labels below an axis of columns, one under the other if they do not fit side by side, and the axis' ends where there is room beside them.
func axisText(a axis, edges []label, unit string, style TextStyle) []string {
	columns := a.to + 1
	for i := range edges {
		edges[i].text = style.Show(minusASCII(edges[i].text))
		edges[i].width = float64(Columns(edges[i].text))
		edges[i].x += 0.5
	}
	if !place(edges, 0, columns, 2) {
		var lines []string
		for _, e := range edges {
			lines = append(lines, Pad(Cut(e.text, int(columns)), min(int(e.x+e.width/2), int(columns)), true))
		}
		return lines
	}
	labels := edges
	for _, v := range []float64{a.low, a.high} {
		text := style.Show(a.end(v, unit))
		w := float64(Columns(text))
		end := label{max(w/2, min(columns-w/2, a.at(v))), w, text}
		if clear(end, edges, 2) {
			labels = append(labels, end)
		}
	}
	return []string{setText(labels, int(columns))}
}

// setText writes labels that do not overlap into one line.
func setText(labels []label, columns int) string {
	line := []rune(strings.Repeat(" ", columns))
	for _, l := range labels {
		at := int(math.Round(l.x - l.width/2))
		for i, r := range []rune(l.text) {
			if k := at + i; k >= 0 && k < len(line) {
				line[k] = r
			}
		}
	}
	return strings.TrimRight(string(line), " ")
}
