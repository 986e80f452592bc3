package desk

import "net/http"

// routes adds what changes something, and the pages that are no question.
func (d *Desk) routes(mux *http.ServeMux) {
	mux.HandleFunc("POST /set", d.set)
	mux.HandleFunc("GET /events", d.events)
	mux.HandleFunc("GET /figure/{page}/{at}/{as}", d.figure)
	mux.HandleFunc("POST /start", d.start)
	mux.HandleFunc("POST /example", d.example)
	mux.HandleFunc("POST /selftest", d.startSelftest)
	mux.HandleFunc("POST /record", d.record)
	mux.HandleFunc("POST /take-out", d.takeBack)
	mux.HandleFunc("POST /import", d.drop)
	mux.HandleFunc("POST /take-in", d.takeIn)
	mux.HandleFunc("POST /undo", d.undo)
	mux.HandleFunc("POST /redo", d.redo)
	mux.HandleFunc("POST /try/keep", d.keep)
	mux.HandleFunc("POST /try/variant", d.keepVariant)
}

// tools are the pages beside the questions.
func (d *Desk) tools(page string) []link {
	return []link{{trialPage, "What if?", page == trialPage}, {"records", "Write down", page == "records"}, {"import", "From a file", page == "import"}, {"calculators", "Calculators", page == "calculators"}, {"selftest", "Selftest", page == "selftest"}}
}

// other shows a page that is no question; false if there is no such.
func (d *Desk) other(w http.ResponseWriter, r *http.Request, status int, f frame, l *look) bool {
	switch f.Page {
	case "calculators":
		d.calculators(w, r, f)
		return true
	case "records":
		d.records(w, r, status, f, l)
		return true
	case "import":
		d.importing(w, r, status, f, l)
		return true
	case "selftest":
		d.selftest(w, f)
		return true
	case "changes":
		f.Title = "What was changed"
		d.show(w, status, "changes", struct {
			Frame frame
			Lines []line
		}{f, d.evening.list()})
		return true
	}
	return false
}
