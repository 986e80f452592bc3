package desk

import (
	"net/http"
	"net/url"
)

// logForm is the description of a run that is being made for a log.
type logForm struct{ Ready bool }

func (l *look) logForm(file droppedFile, q url.Values) *logForm { return &logForm{} }

func (d *Desk) takeLog(w http.ResponseWriter, r *http.Request, l *look, v view, file droppedFile, q url.Values, again func(int, string)) {
}
