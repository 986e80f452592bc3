package figure

// Drawing lays the carpet out; width 0 is 640 px.
func (c Carpet) Drawing(width float64) Drawing {
	if !(width > 0) {
		width = figureWidth
	}
	d := Drawing{Width: width, Title: c.Title}
	c = c.cut()
	f, ok := c.field()
	clock := fit(c.Clock, small, 0.4*width)
	d.write(0, 12, 12, Soft, Start, fit(axisName(c.Axis.Name, c.Axis.Unit), 12, width-textWidth(clock, small)-12))
	if !ok {
		d.Description = "No data."
		d.foot(20, c.Source)
		return d
	}
	d.Description = c.describe(f)
	d.write(width, 12, small, Soft, End, clock)
	const gutter = 34
	height := max(120, min(220, 0.3*width))
	top := 24.0
	x := axis{low: float64(c.First), high: float64(c.First + c.Days), from: gutter, to: width - 2}
	y := axis{low: 0, high: 24, from: top + height, to: top}
	d.field(f, x, y)
	for hour := 0.0; hour <= 24; hour += 6 {
		d.line(gutter-4, y.at(hour), gutter, y.at(hour), Stroke{Role: Soft, Width: 1})
		d.write(gutter-6, y.at(hour)+3.8, small, Soft, End, number(hour, 0)+" h")
	}
	d.Ops = append(d.Ops, Line{append(rectangle(x.from, top, x.to-x.from, height), Point{x.from, top}), Stroke{Role: Soft, Width: 1}})
	base := d.monthsBelow(x, c.First, c.First+c.Days, y.from)
	d.foot(d.carpetKey(c, f, base+14)+6, c.Source)
	return d
}

// field covers the cells, layer upon layer of ink, so that no gap is seen between two of one tone, and outlines those above the limit.
func (d *Drawing) field(f field, x, y axis) {
	shape := func(in func(cell int) bool) (paths [][]Point) {
		for _, path := range outlines(f.columns, f.rows, func(column, row int) bool { return in(column*f.rows + row) }) {
			var points []Point
			for _, p := range path {
				points = append(points, Point{
					x.from + (x.to-x.from)*float64(p[0])/float64(f.columns),
					y.from + (y.to-y.from)*float64(p[1])/float64(f.rows),
				})
			}
			paths = append(paths, points)
		}
		return paths
	}
	for k := range inks {
		d.Ops = append(d.Ops, Tone{shape(func(cell int) bool { return f.held[cell] && f.ink(f.mean[cell]) >= k }), Ink, glaze(k)})
	}
	rims := shape(func(cell int) bool { return f.over[cell] })
	for i, r := range rims {
		rims[i] = append(r, r[0])
	}
	thin := rim // where days are narrow, so that the ink within is seen
	thin.Width = max(0.5, min(rim.Width, 0.6*(x.to-x.from)/float64(f.columns)))
	d.Ops = append(d.Ops, Lines{rims, thin})
}

// rim is the outline of what lies above a carpet's limit.
var rim = Stroke{Role: Over, Width: 1.3}

// carpetKey draws the tones with the values between them, and what else the field holds, from y on, and returns the last base line.
func (d *Drawing) carpetKey(c Carpet, f field, y float64) float64 {
	const box, tall = 22.0, 10.0
	texts := c.keyTexts(f)
	x := max(2, textWidth(texts[0], small)/2)
	for k := range inks {
		for i := range k + 1 {
			d.Ops = append(d.Ops, Tone{[][]Point{rectangle(x+box*float64(k), y, box, tall)}, Ink, glaze(i)})
		}
	}
	for i, text := range texts {
		d.write(x+box*inks/4*float64(i), y+tall+12, small, Soft, Middle, text)
	}
	x += box*inks + textWidth(texts[4], small)/2 + 18
	base := y + tall
	item := func(text string, sample func(x, y float64)) {
		if x+24+textWidth(text, small) > d.Width {
			x, base = 0, max(base+18, y+tall+30)
		}
		sample(x, base-tall)
		text = fit(text, small, d.Width-x-24)
		d.write(x+24, base-1, small, Ink, Start, text)
		x += 24 + textWidth(text, small) + 18
	}
	if f.hasLevel {
		item(c.levelText(f), func(x, y float64) {
			d.Ops = append(d.Ops, Tone{[][]Point{rectangle(x+1, y, 16, tall)}, Ink, covered(inks - 2)}, Area{Points: rectangle(x+1, y, 16, tall), Outline: rim})
		})
	}
	if f.blank > 0 {
		item("no value: "+hours(f.blank), func(x, y float64) {
			d.Ops = append(d.Ops, Area{Points: rectangle(x+1, y, 16, tall), Outline: Stroke{Role: Rule, Width: 1}})
		})
	}
	return max(base, y+tall+12)
}
