package figure

import "strings"

// BarRow is one bar.
type BarRow struct {
	Name              string
	Parts             []float64 // one or more lengths that are stacked; those below 0 lie to the left. Empty in a total: the sum of the rows above
	Low, High         float64   // interval of the row's sum; both 0: none; not finite: open
	OpenLow, OpenHigh bool      // no limit on that side
	Total             bool      // drawn from 0 in a build-up
	Text              string    // said at the right: "38 %, 12 of 37"; empty: the sum
}

// Bars draws amounts as horizontal bars, one row each, in the order given. Numbers are in the axis' unit, already scaled; the axis is always linear.
// A row with a part that is not finite has no bar, and says so.
type Bars struct {
	Title   string
	Axis    Axis
	Rows    []BarRow
	Parts   []string // names of the stacked parts, at most 4
	Running bool     // each row begins where the last one ended: a build-up
	Source  string   // input file and date, for the small line below; may be empty
}

// stack is a row made ready.
type stack struct {
	name, text string
	base, end  float64 // where it begins, and where its sum lies
	parts      []float64
	whisker    *Mark // the interval, on the axis; nil: none
	total      bool
	none       bool // there is no figure
}

// stacks puts the rows on the axis, which holds all bars, zero, and the ends of intervals at most 3 spans away.
func (b Bars) stacks() ([]stack, axis) {
	var out []stack
	all, run := nothing.with(0), 0.0
	for _, r := range b.Rows {
		s := stack{name: r.Name, text: r.Text, parts: r.Parts, total: r.Total}
		if r.Total && len(r.Parts) == 0 {
			s.parts = []float64{run}
		}
		if b.Running && !r.Total {
			s.base = run
		}
		s.end = s.base
		left, right := s.base, s.base
		for _, p := range s.parts {
			s.end, left, right = s.end+p, left+min(p, 0), right+max(p, 0)
			s.none = s.none || !finite(p) || !finite(s.end)
		}
		if s.none = s.none || len(s.parts) == 0; s.none {
			s.parts, s.base, s.end = nil, run, run
			out = append(out, s)
			continue
		}
		s.whisker = r.whisker(s)
		if b.Running {
			run = s.end
		}
		all = all.with(left).with(right)
		out = append(out, s)
	}
	low, high := all.low, all.high
	size := max(high-low, 1e-9)
	for _, s := range out {
		if m := s.whisker; m != nil {
			all = all.with(seen(m.Low, m.OpenLow, m.Best-0.2*size, low-3*size, high)).with(seen(m.High, m.OpenHigh, m.Best+0.2*size, low, high+3*size))
		}
	}
	a := rounded(all.low, all.high, 0, 1)
	if all.low == 0 {
		a.low = 0
	}
	for i := range out {
		if out[i].text == "" {
			out[i].text = "no figure"
			if !out[i].none {
				out[i].text = withUnit(number(out[i].end-out[i].base, a.decimals+1), b.Axis.Unit)
			}
		}
	}
	return out, a
}

// seen is how far an axis reaches for an interval's end: not beyond low..high, and only to tail for one that is open.
func seen(v float64, open bool, tail, low, high float64) float64 {
	if open {
		return tail
	}
	return max(low, min(high, v))
}

// whisker is the row's interval where its sum lies; nil where there is none.
func (r BarRow) whisker(s stack) *Mark {
	if r.Low == 0 && r.High == 0 && !r.OpenLow && !r.OpenHigh {
		return nil
	}
	m := Mark{Best: s.end, Low: s.base + r.Low, High: s.base + r.High, OpenLow: r.OpenLow, OpenHigh: r.OpenHigh}
	m = tidy([]Mark{m})[0]
	return &m
}

// Drawing lays the bars out; width 0 is 640 px. Names and texts stand beside their bars, or above them where there is no room.
func (b Bars) Drawing(width float64) Drawing {
	if !(width > 0) {
		width = figureWidth
	}
	rows, a := b.stacks()
	d := Drawing{Width: width, Title: b.Title, Description: describeBars(rows)}
	const size = 12
	name, text := 0.0, 0.0
	for _, r := range rows {
		name, text = max(name, textWidth(r.name, size)), max(text, textWidth(minus(r.text), size))
	}
	y := d.partNames(b.Parts)
	beside := name < 0.36*width && text < 0.3*width
	if a.from, a.to = name+12, width-text-14; !beside {
		a.from, a.to = 10, width-10
	}
	top := y
	for i, r := range rows {
		if i > 0 && r.total {
			d.line(0, y, width, y, Stroke{Role: Rule, Width: 1})
		}
		if beside {
			d.write(a.from-12, y+15, size, Ink, End, r.name)
			d.write(width, y+15, size, Ink, End, minus(r.text))
		} else {
			y = d.headAbove(r, y, size)
		}
		d.stack(r, a, y+4)
		if b.Running && i+1 < len(rows) && !rows[i+1].total {
			d.line(a.at(r.end), y+16, a.at(r.end), y+26, Stroke{Role: Soft, Width: 1, Dash: 2})
		}
		y += 22
	}
	d.line(a.at(0), top, a.at(0), y, Stroke{Role: Soft, Width: 1})
	if len(rows) > 0 {
		d.line(a.from, y, a.to, y, Stroke{Role: Rule, Width: 1})
		y = d.ticksBelow(a, y)
		if title := axisName(b.Axis.Name, b.Axis.Unit); title != "" {
			y += 16
			middle := (a.from + a.to) / 2
			d.write(middle, y, size, Soft, Middle, fit(title, size, 2*min(middle, width-middle)))
		}
	}
	d.foot(y+6, b.Source)
	return d
}

// headAbove writes name and text above a bar, below each other where they do not fit side by side, and returns where the bar begins.
func (d *Drawing) headAbove(r stack, y, size float64) float64 {
	text := fit(minus(r.text), size, d.Width)
	d.write(0, y+14, size, Ink, Start, fit(r.name, size, d.Width))
	if textWidth(r.name, size)+textWidth(text, size)+12 > d.Width {
		y += 15
	}
	d.write(d.Width, y+14, size, Ink, End, text)
	return y + 16
}

// partNames writes what the stacked parts are, and returns where the rows may begin.
func (d *Drawing) partNames(parts []string) float64 {
	if len(parts) < 2 {
		return 4
	}
	x, y := 0.0, 12.0
	for i, p := range parts {
		w := 20 + textWidth(p, small)
		if x > 0 && x+w > d.Width {
			x, y = 0, y+16
		}
		d.part(i, false, x, y-10, 14, 11)
		d.write(x+20, y, small, Ink, Start, fit(p, small, d.Width-20))
		x += w + 16
	}
	return y + 10
}

// stack draws a row's parts and its interval; y is the bar's top.
func (d *Drawing) stack(r stack, a axis, y float64) {
	const height = 13
	left, right := r.base, r.base
	for i, p := range r.parts {
		x1, x2 := right, right+p
		if p < 0 {
			x1, x2 = left+p, left
		}
		left, right = min(left, x1), max(right, x2)
		if from, to := a.at(x1), a.at(x2); p != 0 {
			d.part(i, p < 0, from, y, max(to-from, 0.6), height)
		}
	}
	if r.whisker != nil {
		d.whisker(*r.whisker, a, y+height/2.0)
	}
}

// part fills a piece of a bar: solid, hollow, hatched, grey; what takes away is hollow and dashed.
func (d *Drawing) part(i int, takes bool, x, y, w, h float64) {
	area := Area{Points: rectangle(x, y, w, h), Fill: Accent, Outline: Stroke{Role: Accent, Width: 1}}
	switch {
	case takes:
		area.Fill, area.Outline.Dash = Paper, 3
	case i%4 == 1:
		area.Fill = Paper
	case i%4 == 2:
		area.Fill = Band
	case i%4 == 3:
		area.Fill = Bar
	}
	d.Ops = append(d.Ops, area)
	if i%4 == 2 && !takes {
		d.Ops = append(d.Ops, Hatch{area.Points})
	}
}

// whisker draws an interval over a bar, with caps where it ends, an arrow where it leaves the axis and dots where it has no limit.
func (d *Drawing) whisker(m Mark, a axis, y float64) {
	from, to := a.at(m.Low), a.at(m.High)
	d.line(from, y, to, y, Stroke{Role: Paper, Width: 4})
	t := track{axis: a, across: y}
	d.piece(piece{low: m.Low, high: m.High}, t)
	for _, e := range []struct {
		v, dir float64
		open   bool
	}{{m.Low, -1, m.OpenLow}, {m.High, 1, m.OpenHigh}} {
		switch {
		case e.open:
		case a.holds(e.v):
			d.line(a.at(e.v), y-4, a.at(e.v), y+4, Stroke{Role: Ink, Width: inside})
		default:
			d.arrow(t, a.at(e.v)+4*e.dir, e.dir, Ink)
		}
	}
}

// describeBars tells the bars in words.
func describeBars(rows []stack) string {
	var parts []string
	for _, r := range rows {
		parts = append(parts, r.name+" "+minus(r.text))
	}
	if len(parts) == 0 {
		return "No data."
	}
	return "Bars: " + strings.Join(parts, "; ") + "."
}
