package desk

import (
	"bytes"
	"fmt"
	"net/http"
	"net/url"
	"strconv"

	"hindwatt/internal/page"
)

// shownFigure is a figure with the files that it can be saved as.
type shownFigure struct {
	page.Figure
	Files []link
}

// files are the addresses of a figure as files.
func (l *look) files(id string, at int, f page.Figure) (all []link) {
	if f.Plot == nil {
		return nil
	}
	for _, as := range []string{"svg", "png", "pdf"} {
		all = append(all, link{Page: fmt.Sprintf("/figure/%s/%d/%s?variant=%s", url.PathEscape(id), at, as, url.QueryEscape(l.variant)), Text: map[string]string{"svg": "SVG", "png": "PNG", "pdf": "PDF"}[as]})
	}
	return all
}

// Of a figure that is saved: its width in px, and how many dots of a picture a px has.
const (
	savedWidth = 640
	dots       = 3
)

// figure gives one figure as a file.
func (d *Desk) figure(w http.ResponseWriter, r *http.Request) {
	l := d.sight.look(r.URL.Query().Get("variant"))
	id, as := r.PathValue("page"), r.PathValue("as")
	at, err := strconv.Atoi(r.PathValue("at"))
	if err != nil || l.laid == nil || short[id] == "" {
		http.NotFound(w, r)
		return
	}
	a := l.answer(id)
	select {
	case <-a.done:
	case <-r.Context().Done():
		return
	}
	for _, p := range a.pages {
		if p.ID != id || at < 0 || at >= len(p.Figures) || p.Figures[at].Plot == nil {
			continue
		}
		drawing := p.Figures[at].Plot.Drawing(savedWidth)
		var b bytes.Buffer
		kind := map[string]string{"svg": "image/svg+xml", "png": "image/png", "pdf": "application/pdf"}[as]
		switch as {
		case "svg":
			b.Write(drawing.SVG())
		case "png":
			err = drawing.PNG(&b, dots)
		case "pdf":
			err = drawing.PDF(&b)
		default:
			http.NotFound(w, r)
			return
		}
		if err != nil {
			refuse(w, http.StatusInternalServerError, "The figure could not be drawn: "+err.Error())
			return
		}
		w.Header().Set("Content-Type", kind)
		w.Header().Set("Content-Disposition", fmt.Sprintf("attachment; filename=\"%s-%d.%s\"", id, at+1, as))
		w.Write(b.Bytes())
		return
	}
	http.NotFound(w, r)
}
