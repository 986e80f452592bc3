package figure

import (
	"image/color"
	"strconv"
)

// Tone covers the inside of closed paths (non-zero winding) with a part of a role's ink; what lies below shines through.
type Tone struct {
	Paths [][]Point
	Fill  Role
	Part  float64 // 0..1
}

// Lines are open lines of one stroke.
type Lines struct {
	Paths  [][]Point
	Stroke Stroke
}

func (t Tone) send(s sink) {
	if len(t.Paths) > 0 && t.Fill != None {
		s.tone(t)
	}
}

func (l Lines) send(s sink) {
	if len(l.Paths) > 0 {
		s.lines(l.Paths, l.Stroke)
	}
}

// tone writes level and upright sides short: a field has thousands of them.
func (w *svgSink) tone(t Tone) {
	w.add(`<path`)
	w.style(t.Fill, Stroke{})
	w.add(` fill-opacity="`, strconv.FormatFloat(max(0, min(1, t.Part)), 'f', 4, 64), `" d="`)
	for _, p := range t.Paths {
		for i, q := range p {
			switch {
			case i > 0 && q.Y == p[i-1].Y:
				w.add("H", fixed(q.X))
			case i > 0 && q.X == p[i-1].X:
				w.add("V", fixed(q.Y))
			case i > 0:
				w.add("L", fixed(q.X), " ", fixed(q.Y))
			default:
				w.add("M", fixed(q.X), " ", fixed(q.Y))
			}
		}
		w.add("Z")
	}
	w.add("\"/>\n")
}

func (s *pngSink) tone(t Tone) {
	for _, p := range t.Paths {
		s.path(p)
		s.c.ClosePath()
	}
	c := t.Fill.onPaper()
	s.c.SetColor(color.NRGBA{c.R, c.G, c.B, uint8(255*max(0, min(1, t.Part)) + 0.5)})
	s.c.Fill()
}

func (s pdfSink) tone(t Tone) {
	mode := s.style(t.Fill, Stroke{})
	s.f.SetAlpha(max(0, min(1, t.Part)), "Normal")
	for _, p := range t.Paths {
		s.path(p)
		s.f.ClosePath()
	}
	s.f.DrawPath(mode)
	s.f.SetAlpha(1, "Normal")
}
