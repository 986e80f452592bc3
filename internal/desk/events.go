package desk

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"slices"
	"time"
)

// How often the folder is looked at while a page is open, and how often a stream says that it lives.
const (
	glance = 700 * time.Millisecond
	pulse  = 20 * time.Second
)

// stream tells one page what comes to be known while it is open.
type stream struct {
	*Desk
	w    http.ResponseWriter
	view view
	look *look
}

// events is the stream of server-sent events of one page. Only while one is open is the folder
// looked at again and again.
func (d *Desk) events(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	s := &stream{Desk: d, w: w, view: viewOf(q.Get("page"))}
	if s.view.variant == "" {
		s.view.variant = d.options.Variant
	}
	unread := d.sight.news.read()
	defer d.sight.news.leave(unread)
	s.look = d.sight.at(s.view)
	defer d.sight.follow(s.look)()
	w.Header().Set("Content-Type", "text/event-stream")
	http.NewResponseController(w).SetWriteDeadline(time.Time{})
	http.NewResponseController(w).SetReadDeadline(time.Time{})
	if q.Get("look") != s.look.stamp {
		s.send("load", "")
		return
	}
	if !s.begin(q.Get("whole") == "yes") {
		return
	}
	again, alive := time.NewTicker(glance), time.NewTicker(pulse)
	defer again.Stop()
	defer alive.Stop()
	for {
		ok := true
		select {
		case <-r.Context().Done():
			return
		case <-d.stop.Done():
			return
		case e := <-unread:
			ok = s.tell(e)
		case <-again.C:
			if d.sight.stale(s.look) {
				s.send("load", "")
				return
			}
		case <-alive.C:
			ok = s.send("", "")
		}
		if !ok {
			return
		}
	}
}

// begin says what the page has missed since it was made.
//
//	whole  nothing was being computed when it was made
func (s *stream) begin(whole bool) bool {
	if whole || s.look.laid == nil {
		return s.send("rest", "")
	}
	switch {
	case s.whole() && !s.look.finished():
		return s.known() && s.send("busy", "being computed")
	case questionOf(s.view.page) != nil && !s.look.answer(s.view.page).ready():
		return s.known() && s.send("busy", "being computed")
	case s.view.page != "" && questionOf(s.view.page) == nil: // a page that tells how far something has got
		select {
		case <-s.stop.Done():
		case <-time.After(glance):
		}
	}
	s.send("load", "")
	return false
}

// whole reports whether the page has all promises.
func (s *stream) whole() bool { return s.view.page == "" || s.view.page == trialPage }

// shows reports whether the page has the strip of a promise.
func (s *stream) shows(name string) bool {
	return s.whole() || s.look.judgedBy(name) == s.view.page
}

// known sends what is known of the promises on the page by now.
func (s *stream) known() bool {
	s.look.mutex.Lock()
	all, coarse := slices.Clone(s.look.promises), maps.Clone(s.look.coarse)
	s.look.mutex.Unlock()
	for _, p := range all {
		if s.shows(p.Name) && (p.Verdict != computing || coarse[p.Name] != "") && !s.promise(p.Name) {
			return false
		}
	}
	return true
}

// tell passes on what concerns the page; false ends the stream.
func (s *stream) tell(e event) bool {
	switch {
	case e.look != s.look:
		return true
	case e.kind == "over":
		s.send("load", "")
		return false
	case e.kind == "promise" && s.shows(e.name):
		return s.promise(e.name)
	case e.kind == "progress" && e.name == s.view.page:
		return s.send("busy", e.text)
	case e.kind == "judged" && s.whole(), e.kind == "answer" && e.name == s.view.page:
		s.send("load", "")
		return false
	}
	return true
}

// promise sends one promise as the first page shows it.
func (s *stream) promise(name string) bool {
	var html bytes.Buffer
	done, all := 0, 0
	s.look.mutex.Lock()
	for _, p := range s.look.promises {
		all++
		if p.Verdict != computing {
			done++
		}
		if p.Name == name {
			shown := s.look.shown(p, s.look.coarse[p.Name])
			shown.Linked = shown.Linked && s.view.page != p.PageID
			if err := pages.ExecuteTemplate(&html, "promise", shown); err != nil {
				html.Reset()
			}
		}
	}
	s.look.mutex.Unlock()
	data, err := json.Marshal(map[string]any{"name": name, "html": html.String(), "done": done, "all": all})
	return err == nil && html.Len() > 0 && s.send("promise", string(data))
}

// send writes one event, data of one line; without a kind it only shows that the stream lives.
func (s *stream) send(kind, data string) bool {
	text := ":\n\n"
	if kind != "" {
		text = fmt.Sprintf("event: %s\ndata: %s\n\n", kind, data)
	}
	_, err := s.w.Write([]byte(text))
	return err == nil && http.NewResponseController(s.w).Flush() == nil
}
