package figure

import (
	"fmt"
	"io"
	"time"

	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"codeberg.org/go-pdf/fpdf"
)

const point = 0.75 // pt in a px

// PDF writes the drawing as one page of its own size, on white. The font's used glyphs are in the file; it holds no date but a fixed one.
// It fails if w does, or if a text cannot be set.
func (d *Drawing) PDF(w io.Writer) error {
	size := fpdf.SizeType{Wd: px(d.Width) * point, Ht: px(d.Height) * point}
	if size.Wd <= 0 || size.Ht <= 0 {
		return fmt.Errorf("figure: %q: size %g x %g px; want more than 0", d.Title, d.Width, d.Height)
	}
	f := fpdf.NewCustom(&fpdf.InitType{OrientationStr: "P", UnitStr: "pt", Size: size})
	epoch := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	f.SetCreationDate(epoch)
	f.SetModificationDate(epoch)
	f.SetCatalogSort(true)
	f.SetProducer("hindwatt", true)
	f.SetTitle(clean(d.Title), true)
	f.SetSubject(clean(d.Description), true)
	f.SetAutoPageBreak(false, 0)
	f.AddUTF8FontFromBytes("sans", "", liberationsansregular.TTF)
	f.SetLineJoinStyle("round")
	f.AddPage()
	for _, op := range d.Ops {
		op.send(pdfSink{f})
	}
	if err := f.Output(w); err != nil {
		return fmt.Errorf("figure: %q: %w", d.Title, err)
	}
	return nil
}

type pdfSink struct{ f *fpdf.Fpdf }

func (s pdfSink) lines(paths [][]Point, stroke Stroke) {
	if stroke.Role == None {
		return
	}
	s.style(None, stroke)
	for _, p := range paths {
		s.path(p)
	}
	s.f.DrawPath("D")
}

func (s pdfSink) area(a Area) {
	if mode := s.style(a.Fill, a.Outline); mode != "" {
		s.path(a.Points)
		s.f.ClosePath()
		s.f.DrawPath(mode)
	}
}

func (s pdfSink) circle(c Circle) {
	if mode := s.style(c.Fill, c.Outline); mode != "" {
		s.f.Circle(px(c.Centre.X)*point, px(c.Centre.Y)*point, px(c.R)*point, mode)
	}
}

func (s pdfSink) text(t Text) {
	c := t.Role.onPaper()
	s.f.SetTextColor(int(c.R), int(c.G), int(c.B))
	s.f.SetFont("sans", "", t.Size*point)
	x, text := px(t.At.X)*point, clean(t.Text)
	switch t.Anchor {
	case Middle:
		x -= s.f.GetStringWidth(text) / 2
	case End:
		x -= s.f.GetStringWidth(text)
	}
	s.f.Text(x, px(t.At.Y)*point, text)
}

// style sets colours and line, and returns how fpdf is to paint: D, F, FD or nothing.
func (s pdfSink) style(fill Role, stroke Stroke) (mode string) {
	if fill != None {
		c := fill.onPaper()
		s.f.SetFillColor(int(c.R), int(c.G), int(c.B))
		mode = "F"
	}
	if stroke.Role != None {
		c := stroke.Role.onPaper()
		s.f.SetDrawColor(int(c.R), int(c.G), int(c.B))
		s.f.SetLineWidth(stroke.Width * point)
		dash := []float64{}
		if stroke.Dash > 0 {
			dash = []float64{stroke.Dash * point, stroke.Dash * point}
		}
		s.f.SetDashPattern(dash, 0)
		mode += "D"
	}
	return mode
}

func (s pdfSink) path(points []Point) {
	for i, p := range points {
		if i == 0 {
			s.f.MoveTo(px(p.X)*point, px(p.Y)*point)
		} else {
			s.f.LineTo(px(p.X)*point, px(p.Y)*point)
		}
	}
}
