package figure

// axisName is "quantity, unit".
func axisName(name, unit string) string {
	if unit == "" || name == "" {
		return name + unit
	}
	return name + ", " + unit
}

// tick writes a value at a tick.
func tick(v float64, decimals int) string {
	if v == 0 {
		return "0"
	}
	return minus(number(v, decimals))
}

// boundAbove writes the bound's labels in a line at the top, with an arrow where the bound is off the axis, and returns where the plot may begin.
func (d *Drawing) boundAbove(a axis, labels []label, b bound) float64 {
	values := []float64{}
	if b.hasMin() {
		values = append(values, b.min)
	}
	if b.hasMax() && len(labels) > len(values) {
		values = append(values, b.max)
	}
	for i, v := range values {
		switch l := &labels[i]; {
		case v < a.low:
			l.text = "← " + l.text
			l.width = textWidth(l.text, small)
		case v > a.high:
			l.text += " →"
			l.width = textWidth(l.text, small)
		}
	}
	y := 11.0
	if place(labels, 0, d.Width, 12) {
		for _, l := range labels {
			d.write(l.x, y, small, Ink, Middle, l.text)
		}
		return y + 9
	}
	for i, l := range labels {
		l.text = fit(l.text, small, d.Width)
		one := []label{{l.x, textWidth(l.text, small), l.text}}
		place(one, 0, d.Width, 0)
		d.write(one[0].x, y+13*float64(i), small, Ink, Middle, l.text)
	}
	return y + 13*float64(max(0, len(labels)-1)) + 9
}

// ticksBelow draws the ticks of a horizontal axis at y with their numbers, as many as have room, and returns the base line of the numbers.
func (d *Drawing) ticksBelow(a axis, y float64) float64 {
	want := max(2, int((a.to-a.from)/64))
	var labels []label
	for ; want > 0; want-- {
		values, decimals := a.ticks(want)
		labels = labels[:0]
		for _, v := range values {
			text := tick(v, decimals)
			labels = append(labels, label{a.at(v), textWidth(text, small), text})
		}
		if apart(labels, 8) {
			break
		}
	}
	for _, l := range labels {
		d.line(l.x, y, l.x, y+4, Stroke{Role: Soft, Width: 1})
		d.write(max(l.width/2, min(d.Width-l.width/2, l.x)), y+15, small, Soft, Middle, l.text)
	}
	return y + 15
}

// apart reports whether labels in rising order stand at least gap apart.
func apart(labels []label, gap float64) bool {
	for i := 1; i < len(labels); i++ {
		if labels[i].x-labels[i-1].x < (labels[i].width+labels[i-1].width)/2+gap {
			return false
		}
	}
	return true
}
