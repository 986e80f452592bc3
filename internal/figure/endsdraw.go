package figure

import "slices"

// Drawing lays the boxes out as a Strip lays out its axis; width 0 is 420 px.
func (e Ends) Drawing(width float64) Drawing {
	if !(width > 0) {
		width = stripWidth
	}
	d := Drawing{Width: width, Title: e.Quantity, Description: e.describe()}
	const rowPitch = pitch + 2
	height := max(24, rowPitch*float64(len(e.Marks))+8)
	top, base := 6.0, 6+height
	box := (width - 2*margin) / float64(ends)
	left := func(k FaultEnd) float64 { return margin + box*float64(k) }
	lines := 1
	for k := range ends {
		if slices.Contains(e.Allowed, k) {
			d.band(left(k), left(k+1), top, base)
		}
		lines = max(lines, len(wrapped(k.String(), small, box-4)))
	}
	for k := range ends {
		d.Ops = append(d.Ops, Area{Points: rectangle(left(k), top, box, height), Outline: Stroke{Role: Rule, Width: 1}})
	}
	for k := range ends - 1 { // the bound is where allowed meets not allowed
		if slices.Contains(e.Allowed, k) != slices.Contains(e.Allowed, k+1) {
			d.line(left(k+1), top-4, left(k+1), base+4, Stroke{Role: Edge, Width: 1.4})
		}
	}
	for i, m := range e.Marks {
		if w, ok := e.before(m); ok {
			d.endWas(w, left, box, top+height/2+rowPitch*(float64(i)-float64(len(e.Marks)-1)/2))
		}
		d.endMark(e, m, left, box, top+height/2+rowPitch*(float64(i)-float64(len(e.Marks)-1)/2))
	}
	for k := range ends {
		role := Soft
		if slices.Contains(e.Allowed, k) {
			role = Ink
		}
		for i, l := range wrapped(k.String(), small, box-4) {
			d.write(left(k)+box/2, base+16+13*float64(i), small, role, Middle, l)
		}
	}
	y := base + 16 + 13*float64(lines-1) + 15
	d.write(width/2, y, 12, Soft, Middle, fit(e.caption(), 12, width))
	d.foot(y+5, "")
	return d
}

// endWas draws where a mark stood before as Strip does: a dashed line as far as it reached, below the mark's own line, with a tick at its end.
func (d *Drawing) endWas(w EndMark, left func(FaultEnd) float64, box, y float64) {
	const aside = 5.5
	soft := Stroke{Role: Soft, Width: 1}
	end, reach := min(w.End, Hazard), min(max(w.Reach, w.End), Hazard)
	x := left(end) + box/2
	to := left(reach) + box/2
	if reach == end {
		x, to = x-7, to+7
	}
	d.line(x, y+aside, to, y+aside, Stroke{Role: Soft, Width: 1, Dash: 2})
	x = left(end) + box/2
	d.line(x, y+aside-3.5, x, y+aside+3.5, soft)
}

// endMark draws a mark in the box of its end, a line to the worst box that its margin's interval allows, and the margin beside.
func (d *Drawing) endMark(e Ends, m EndMark, left func(FaultEnd) float64, box, y float64) {
	m.End = min(m.End, Hazard)
	x := left(m.End) + box/2
	if reach := min(m.Reach, Hazard); reach > m.End {
		for k := m.End; k < reach; k++ {
			edge := left(k + 1)
			d.line(left(k)+box/2, y, edge, y, strokeOf(!e.allows(k)))
			d.line(edge, y, edge+box/2, y, strokeOf(!e.allows(k+1)))
		}
	}
	if text := m.margin(); text != "" {
		room, at, anchor := d.Width-margin-x-12, x+10, Start
		if reach := min(m.Reach, Hazard); reach > m.End {
			at = left(reach) + box/2 + 6
			room = d.Width - margin - at - 2
		}
		if w := textWidth(text, small); w > room && x-margin-12 > room {
			room, at, anchor = x-margin-12, x-10, End
		}
		text = fit(text, small, room)
		w := textWidth(text, small)
		from := at
		if anchor == End {
			from = at - w
		}
		if text != "" { // hatching and lines would run through the text
			d.Ops = append(d.Ops, Area{Points: rectangle(from-2, y-6.5, w+4, 13), Fill: Paper})
		}
		d.write(at, y+3.8, small, Ink, anchor, text)
	}
	d.symbol(m.Kind, m.Carried, Point{x, y}, strokeOf(!e.allows(m.End)).Role)
}

// wrapped breaks a text at spaces into lines of at most a width in px; a word that is longer is cut.
func wrapped(s string, size, width float64) []string {
	var lines []string
	for _, word := range splitWords(s) {
		if n := len(lines); n > 0 && textWidth(lines[n-1]+" "+word, size) <= width {
			lines[n-1] += " " + word
			continue
		}
		lines = append(lines, fit(word, size, width))
	}
	return lines
}
