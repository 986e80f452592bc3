package desk

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"strconv"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
)

// shownFigure is a figure with the files that it can be saved as.
type shownFigure struct {
	page.Figure
	Files  []link
	Window string // where its parts are drawn; "" where it has none
}

// savers write a figure as a file.
var savers = []struct {
	as, text, kind string
	write          func(*bytes.Buffer, figure.Plot) error
}{
	{"svg", "SVG", "image/svg+xml", func(b *bytes.Buffer, p figure.Plot) error {
		d := p.Drawing(savedWidth)
		b.Write(d.SVG())
		return nil
	}},
	{"png", "PNG", "image/png", func(b *bytes.Buffer, p figure.Plot) error {
		d := p.Drawing(savedWidth)
		return d.PNG(b, dots)
	}},
	{"pdf", "PDF", "application/pdf", func(b *bytes.Buffer, p figure.Plot) error {
		d := p.Drawing(savedWidth)
		return d.PDF(b)
	}},
	{"csv", "its numbers as CSV", "text/csv; charset=utf-8", func(b *bytes.Buffer, p figure.Plot) error {
		c, _ := p.(figure.Curve)
		return csv.NewWriter(b).WriteAll(c.CSV())
	}},
}

// saved reports whether a figure can be saved so: only a curve has its numbers apart from the tables below it.
func saved(p figure.Plot, as string) bool {
	_, curve := p.(figure.Curve)
	return p != nil && (as != "csv" || curve)
}

// files are the addresses of a figure as files.
func (l *look) files(id string, at int, f page.Figure) (all []link) {
	for _, s := range savers {
		if saved(f.Plot, s.as) {
			all = append(all, link{Page: l.figureAt(id, at, s.as), Text: s.text})
		}
	}
	return all
}

func (l *look) figureAt(id string, at int, as string) string {
	return fmt.Sprintf("/figure/%s/%d/%s?variant=%s", url.PathEscape(id), at, as, url.QueryEscape(l.variant))
}

// shownFigure is a figure of a page with what can be done with it.
func (l *look) shownFigure(id string, at int, f page.Figure) shownFigure {
	out := shownFigure{Figure: f, Files: l.files(id, at, f)}
	if _, ok := f.Plot.(figure.Curve); ok {
		out.Window = l.figureAt(id, at, "window")
	}
	return out
}

// Of a figure that is saved: its width in px, and how many dots of a picture a px has.
const (
	savedWidth = 640
	dots       = 3
)

// figure gives one figure as a file, or a part of it to be looked at.
func (d *Desk) figure(w http.ResponseWriter, r *http.Request) {
	l := d.sight.look(r.URL.Query().Get("variant"))
	id, as := r.PathValue("page"), r.PathValue("as")
	at, err := strconv.Atoi(r.PathValue("at"))
	if err != nil || l.laid == nil || questionOf(id) == nil {
		http.NotFound(w, r)
		return
	}
	a := l.answer(id)
	select {
	case <-a.done:
	case <-r.Context().Done():
		return
	}
	plot := a.plot(id, at)
	if c, ok := plot.(figure.Curve); ok && as == "window" {
		window(w, r, c)
		return
	}
	for _, s := range savers {
		if s.as != as || !saved(plot, as) {
			continue
		}
		var b bytes.Buffer
		if err := s.write(&b, plot); err != nil {
			refuse(w, http.StatusInternalServerError, "The figure could not be drawn: "+err.Error())
			return
		}
		w.Header().Set("Content-Type", s.kind)
		w.Header().Set("Content-Disposition", fmt.Sprintf("attachment; filename=\"%s-%d.%s\"", id, at+1, as))
		w.Write(b.Bytes())
		return
	}
	http.NotFound(w, r)
}

// plot is a figure of an answer's page; nil if there is none.
func (a *answer) plot(id string, at int) figure.Plot {
	for _, p := range a.pages {
		if p.ID == id && at >= 0 && at < len(p.Figures) {
			return p.Figures[at].Plot
		}
	}
	return nil
}

// The widths in px that a figure is drawn at on a page.
const narrowest, widest = 200, 2000

// window gives a part of a curve, drawn, with what can be read off it.
//
//	from, to  places on the scale of the x axis; the whole without
//	width     of the drawing, px
func window(w http.ResponseWriter, r *http.Request, c figure.Curve) {
	q := r.URL.Query()
	number := func(name string) float64 {
		v, _ := strconv.ParseFloat(q.Get(name), 64) // NaN is above nothing
		return v
	}
	shown, ok := c.Window(number("from"), number("to"), min(widest, max(narrowest, number("width"))))
	if !ok {
		http.NotFound(w, r)
		return
	}
	readings := []map[string]any{}
	for _, s := range shown.Readings {
		readings = append(readings, map[string]any{"name": s.Name, "at": s.At, "x": s.X, "y": s.Y})
	}
	w.Header().Set("Content-Type", "application/json")
	json.NewEncoder(w).Encode(map[string]any{
		"svg": string(shown.Drawing.Inline()), "from": shown.From, "to": shown.To, "top": shown.Top, "foot": shown.Foot,
		"low": shown.Low, "high": shown.High, "series": readings,
	})
}
