package diagram

import (
	"math"

	"hindwatt/internal/figure"
)

// Lengths at natural size, px.
const (
	pitch     = 9.0  // between wires
	half      = 18.0 // from the middle of a symbol to its pin
	nameSize  = 11.0
	valueSize = 10.0
	lineStep  = 12.0 // between lines of text
	margin    = 4.0
)

// words are the lines beside a symbol: name, value, place, open ends, what gives way.
func (d *device) words() []figure.Text {
	var out []figure.Text
	add := func(s string, size float64, role figure.Role) {
		if s != "" {
			out = append(out, figure.Text{Text: figure.Fit(s, size, 130), Size: size, Role: role})
		}
	}
	add(d.name, nameSize, figure.Ink)
	add(d.label, valueSize, figure.Soft)
	add(d.place, valueSize, figure.Soft)
	for _, o := range d.open {
		add(o, valueSize, figure.Soft)
	}
	add(d.mark, valueSize, figure.Over)
	return out
}

func wordsWidth(words []figure.Text) float64 {
	w := 0.0
	for _, t := range words {
		w = max(w, figure.TextWidth(t.Text, t.Size))
	}
	return w
}

// bodyHalf is how far a standing symbol reaches to its left and right.
func (d *device) bodyHalf() (left, right float64) {
	left, right = 9.5, 9.5
	switch {
	case d.mosfet():
		left, right = half, 18
	case symbols[d.drawn()] == nil || d.outside && d.kind == "load":
		left = max(13, figure.TextWidth(d.boxWord(), boxSize)/2+5)
		right = left
	case d.drawn() == "panel":
		left, right = 22, 11
	case d.drawn() == "battery":
		left, right = 11, 11
	}
	if d.mark != "" {
		left, right = max(left, 16), max(right, 16)
	}
	return left, right
}

const boxSize = 10.0

// boxWord is what is written in a box.
func (d *device) boxWord() string {
	if d.outside {
		return figure.Fit(d.name, boxSize, 110)
	}
	return figure.Fit(d.kind, boxSize, 62)
}

// column gathers what stands in one column.
type column struct {
	left, right float64 // what standing symbols with their words need beside the middle
	top, bottom float64 // half the width of the words at the rails
	arm         float64 // from the middle to the pins at its sides
}

func (l *layout) column(col int) column {
	c := column{arm: half}
	for _, cell := range l.cells {
		if cell.col != col {
			continue
		}
		if cell.slot == 0 || cell.slot == l.slots+1 {
			w := figure.TextWidth(l.names[max(cell.net, 0)], nameSize)
			if cell.device >= 0 {
				w = wordsWidth(l.devices[cell.device].words())
				if d := &l.devices[cell.device]; symbols[d.kind] == nil {
					reach, _ := d.bodyHalf()
					c.arm = max(c.arm, reach+5)
				}
			}
			if cell.slot == 0 {
				c.top = max(c.top, w/2)
			} else {
				c.bottom = max(c.bottom, w/2)
			}
			continue
		}
		d := &l.devices[cell.device]
		left, right := d.bodyHalf()
		if len(d.sides) > 0 {
			c.arm = max(c.arm, left+6*float64(b2i(!d.mosfet())))
		}
		words := wordsWidth(d.words())
		if d.kind == "load" {
			words = max(words, figure.TextWidth("load+", nameSize))
		}
		for _, p := range []int{d.first, d.second} {
			if l.count(p) == 1 {
				words = max(words, figure.TextWidth(l.names[p], valueSize)-right+half)
			}
		}
		c.left, c.right = max(c.left, left), max(c.right, right+5+words)
	}
	return c
}

// measure gives each line of the grid its place. A wire line that carries no wire takes no room.
func (l *layout) measure() {
	l.xs, l.ys = make([]float64, l.nx), make([]float64, l.ny)
	l.sideways()
	l.downward()
}

// usedX reports whether a wire runs, bends or ends on a line from top to bottom.
func (l *layout) usedX(x int) bool {
	for y := range l.ny {
		if n := l.node(x, y); l.v[n] >= 0 || l.pin[n] >= 0 {
			return true
		}
	}
	return false
}

func (l *layout) usedY(y int) bool {
	for x := range l.nx {
		if n := l.node(x, y); l.h[n] >= 0 || l.pin[n] >= 0 {
			return true
		}
	}
	return false
}

func (l *layout) sideways() {
	edge, topEnd, bottomEnd := margin-pitch, margin-8, margin-8 // how far what stands before reaches
	for col := range l.cols {
		c := l.column(col)
		for i := range l.spare {
			x := l.x(col, i-l.spare)
			if l.usedX(x) {
				edge += pitch
			}
			l.xs[x] = edge
		}
		left, right := l.x(col, lineLeft), l.x(col, lineRight)
		need := c.left
		if l.usedX(left) {
			need = max(need, c.arm)
		}
		middle := max(edge+pitch+need, topEnd+8+c.top, bottomEnd+8+c.bottom)
		l.xs[left], l.xs[left+1], l.xs[right] = middle-c.arm, middle, middle+c.arm
		if !l.usedX(left) {
			l.xs[left] = middle
		}
		edge = middle + c.right
		if l.usedX(right) {
			edge = max(edge, middle+c.arm)
		} else {
			l.xs[right] = middle
		}
		if c.top > 0 {
			topEnd = middle + c.top
		}
		if c.bottom > 0 {
			bottomEnd = middle + c.bottom
		}
	}
	for i := range l.spare {
		x := l.x(l.cols, i-l.spare)
		if l.usedX(x) {
			edge += pitch
		}
		l.xs[x] = edge
	}
	l.natural.X = max(edge, topEnd, bottomEnd) + margin
}

// heights returns how many lines of text stand at the two rails, and half the height of each place between them.
func (l *layout) heights() (above, below int, tall []float64) {
	tall = make([]float64, l.slots+1)
	for _, c := range l.cells {
		lines := 1
		if c.device >= 0 {
			lines = len(l.devices[c.device].words())
		}
		switch {
		case c.slot == 0:
			above = max(above, lines)
		case c.slot == l.slots+1:
			below = max(below, lines)
		default:
			tall[c.slot] = max(tall[c.slot], half, float64(lines)*lineStep/2+7)
			if l.devices[c.device].kind == "load" {
				tall[c.slot] = max(tall[c.slot], 26)
			}
		}
	}
	return above, below, tall
}

// downward places the lines from top to bottom.
func (l *layout) downward() {
	above, below, tall := l.heights()
	y := margin + lineStep*float64(above) + 18
	l.ys[0] = y
	step := func(line int, by float64) {
		if l.usedY(line) {
			y += by
		}
		l.ys[line] = y
	}
	step(1, half)
	if !l.usedY(1) {
		y += half - pitch
	}
	line := 2
	channel := func() {
		for range l.spare {
			step(line, pitch)
			line++
		}
	}
	for slot := 1; slot <= l.slots; slot++ {
		channel()
		y += pitch + 1
		l.ys[line] = y
		line++
		for k := range l.sides {
			if k == 0 {
				y += tall[slot]
			} else if l.usedSide(slot, k) {
				y += 2 * pitch
			}
			l.ys[line] = y
			line++
		}
		y += tall[slot]
		l.ys[line] = y
		line++
		y++
	}
	channel()
	step(line, pitch)
	y += half
	l.ys[line+1] = y
	l.natural.Y = math.Ceil(y + 18 + lineStep*float64(below) + margin)
}

func (l *layout) usedSide(slot, k int) bool { return l.usedY(l.top(slot) + 1 + k) }
