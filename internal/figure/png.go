package figure

import (
	"fmt"
	"io"
	"math"
	"sync"

	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"git.sr.ht/~sbinet/gg"
	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
)

const mostPixels = 1 << 26 // 256 MB in memory

var sans = sync.OnceValues(func() (*opentype.Font, error) { return opentype.Parse(liberationsansregular.TTF) })

// PNG writes the drawing as a picture of scale times its size in pixels, on white. scale is above 0; 2 suits a screen, 3 paper.
// It fails if the picture would be larger than 2^26 pixels, or if w fails.
func (d *Drawing) PNG(w io.Writer, scale float64) error {
	width, height := math.Ceil(px(d.Width)*px(scale)), math.Ceil(px(d.Height)*px(scale))
	if width < 1 || height < 1 || width*height > mostPixels {
		return fmt.Errorf("figure: %q: picture of %g x %g pixels; want at least 1 x 1 and at most %d in all", d.Title, width, height, mostPixels)
	}
	f, err := sans()
	if err != nil {
		return fmt.Errorf("figure: font: %w", err)
	}
	c := gg.NewContext(int(width), int(height))
	c.SetColor(Paper.onPaper())
	c.Clear()
	s := &pngSink{c: c, scale: scale, font: f, faces: map[float64]font.Face{}}
	for _, op := range d.Ops {
		op.send(s)
	}
	if s.err == nil {
		s.err = c.EncodePNG(w)
	}
	if s.err != nil {
		return fmt.Errorf("figure: %q: %w", d.Title, s.err)
	}
	return nil
}

type pngSink struct {
	c     *gg.Context
	scale float64
	font  *opentype.Font
	faces map[float64]font.Face // by size in px
	err   error                 // the first
}

func (s *pngSink) lines(paths [][]Point, stroke Stroke) {
	for _, p := range paths {
		s.path(p)
	}
	s.paint(None, stroke)
}

func (s *pngSink) area(a Area) {
	s.path(a.Points)
	s.c.ClosePath()
	s.paint(a.Fill, a.Outline)
}

func (s *pngSink) circle(c Circle) {
	s.c.NewSubPath()
	s.c.DrawCircle(px(c.Centre.X)*s.scale, px(c.Centre.Y)*s.scale, px(c.R)*s.scale)
	s.paint(c.Fill, c.Outline)
}

func (s *pngSink) text(t Text) {
	face, ok := s.faces[t.Size]
	if !ok {
		var err error
		if face, err = opentype.NewFace(s.font, &opentype.FaceOptions{Size: t.Size * s.scale, DPI: 72}); err != nil {
			s.err = err
			return
		}
		s.faces[t.Size] = face
	}
	s.c.SetFontFace(face)
	s.c.SetColor(t.Role.onPaper())
	s.c.DrawStringAnchored(t.Text, px(t.At.X)*s.scale, px(t.At.Y)*s.scale, float64(t.Anchor)/2, 0)
}

func (s *pngSink) path(points []Point) {
	s.c.NewSubPath()
	for _, p := range points {
		s.c.LineTo(px(p.X)*s.scale, px(p.Y)*s.scale)
	}
}

// paint fills and strokes the current path and forgets it.
func (s *pngSink) paint(fill Role, stroke Stroke) {
	if fill != None {
		s.c.SetColor(fill.onPaper())
		s.c.FillPreserve()
	}
	if stroke.Role != None {
		s.c.SetColor(stroke.Role.onPaper())
		s.c.SetLineWidth(stroke.Width * s.scale)
		s.c.SetDash()
		if stroke.Dash > 0 {
			s.c.SetDash(stroke.Dash*s.scale, stroke.Dash*s.scale)
		}
		s.c.SetLineJoinRound()
		s.c.SetLineCapButt()
		s.c.StrokePreserve()
	}
	s.c.ClearPath()
}
