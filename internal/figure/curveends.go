package figure

import (
	"cmp"
	"slices"
)

// endText is what is written at the right end of a curve: the bound, the level or the name of a series.
type endText struct {
	at    float64 // on the y axis' scale
	text  string
	trace *trace // whose name it is; nil: none's
}

const sample = 18 // px, piece of a series' line before its name

func (e endText) width() float64 {
	if e.trace != nil {
		return textWidth(e.text, small) + sample + 16
	}
	return textWidth(e.text, small)
}

// direct reports whether the series are named at their ends.
func direct(ends []endText) bool {
	return slices.ContainsFunc(ends, func(e endText) bool { return e.trace != nil })
}

// edgeLabels returns the bound's texts, the upper first, x holding the value at the right end.
func (c Curve) edgeLabels(s scene) []label {
	var out []label
	for _, e := range []struct {
		p      path
		points []Point
		text   string
	}{{s.max, c.Max, c.MaxText}, {s.min, c.Min, c.MinText}} {
		if len(e.p) == 0 {
			continue
		}
		if e.text == "" && len(e.p) == 1 {
			e.text = s.y.written(e.p[0].Y, c.Y.unit())
		}
		if e.text != "" {
			text := minus(e.text)
			out = append(out, label{e.p.at(s.x.high), textWidth(text, small), text})
		}
	}
	return out
}

// written is a value as it is best known: with the decimals it needs.
func (a axis) written(u float64, unit string) string {
	if a.scale == Linear {
		return withUnit(short(u), unit)
	}
	return a.say(u, unit)
}

// endTexts returns what is written at the right end. Series are named there if there are several and all names have room, else in a legend.
func (c Curve) endTexts(s scene, width float64) []endText {
	var out []endText
	for _, e := range c.edgeLabels(s) {
		out = append(out, endText{at: e.x, text: e.text})
	}
	if s.hasLevel && s.levelText != "" {
		out = append(out, endText{at: s.level, text: minus(s.levelText)})
	}
	if len(s.traces) < 2 {
		return out
	}
	var names []endText
	for i := range s.traces {
		t := &s.traces[i]
		e := endText{at: t.mid[len(t.mid)-1].Y, text: t.name, trace: t}
		if e.text == "" {
			continue
		}
		if e.width() > 0.34*width {
			return out
		}
		names = append(names, e)
	}
	return append(out, names...)
}

// endTexts writes the texts at the right end apart from each other, each name after a piece of its line and a hair from the line's end.
func (d *Drawing) endTexts(s scene, ends []endText) {
	ends = slices.Clone(ends)
	slices.SortStableFunc(ends, func(a, b endText) int { return cmp.Compare(s.y.at(a.at), s.y.at(b.at)) })
	rows := make([]label, len(ends))
	for i, e := range ends {
		rows[i] = label{s.y.at(e.at), small + 1, e.text}
	}
	place(rows, s.y.to-6, s.y.from+6, 1)
	for i, e := range ends {
		x, y := s.x.to+6, rows[i].x
		if e.trace != nil {
			x += 10
			if last := e.trace.mid[len(e.trace.mid)-1]; s.x.at(last.X) > s.x.to-4 {
				d.line(s.x.to+2, s.y.at(last.Y), x-2, y, Stroke{Role: Soft, Width: 0.6})
			}
			d.sample(*e.trace, x, y)
			x += sample + 5
		}
		d.write(x, y+3.8, small, Ink, Start, fit(e.text, small, d.Width-x))
	}
}

// sample draws a piece of a series' line, or its dot.
func (d *Drawing) sample(t trace, x, y float64) {
	if t.points {
		d.dot(Point{x + sample/2, y}, t.index, t.stroke().Role)
		return
	}
	d.line(x, y, x+sample, y, t.stroke())
}

// legend names the series where there are several, in lines from y on, and returns the last base line.
func (d *Drawing) legend(traces []trace, y float64) float64 {
	if len(traces) < 2 {
		return y - 6
	}
	x, y := 0.0, y+12
	for _, t := range traces {
		w := sample + 6 + textWidth(t.name, small)
		if x > 0 && x+w > d.Width {
			x, y = 0, y+15
		}
		d.sample(t, x, y-4)
		d.write(x+sample+6, y, small, Ink, Start, fit(t.name, small, d.Width-sample-6))
		x += w + 18
	}
	return y
}
