package desk

import "net/http"

// absent is the page of a folder that holds no product yet.
func (d *Desk) absent(w http.ResponseWriter, f frame) {
	d.show(w, http.StatusOK, "missing", struct {
		Frame         frame
		Heading, Text string
	}{f, "No product here yet", f.Dir})
}
