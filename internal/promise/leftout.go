package promise

import (
	"fmt"
	"strings"

	"hindwatt/internal/page"
)

// counted names the files that a study counts from.
var counted = map[string][]string{
	"production": {"records/made.csv", "records/spent.csv", "records/hours.csv"},
	"accounts":   {"records/made.csv", "records/sold.csv", "records/returned.csv", "records/spent.csv", "records/hours.csv"},
	"returns":    {"records/made.csv", "records/sold.csv", "records/returned.csv"},
}

// leftOut says how many rows of what a study counts could not be read; "" if all could.
func (s *session) leftOut(study string) string {
	places, first := map[string]bool{}, ""
	for _, file := range counted[study] {
		for _, e := range s.product.Folder.RecordErrors {
			if e.File != file {
				continue
			}
			at := fmt.Sprintf("%s:%d", e.File, e.Line)
			if len(places) == 0 {
				first = at
			}
			places[at] = true
		}
	}
	switch len(places) {
	case 0:
		return ""
	case 1:
		return "one row of the records is wrong and is left out: " + first
	}
	return fmt.Sprintf("%d rows of the records are wrong and are left out, %s the first", len(places), first)
}

// doubt opens what was recorded where rows of it are left out, since what they hold is not known.
func (s *session) doubt(j *Judged) {
	said := s.leftOut(j.Study)
	if said == "" {
		return
	}
	recorded := false
	for i := range j.Evidence {
		if e := &j.Evidence[i]; e.Kind == Recorded {
			e.OpenLow, e.OpenHigh, recorded = true, true, true
		}
	}
	if recorded {
		j.Disagree = nil
		j.judge()
		j.Says = append(j.Says, said+"; hindwatt check lists why")
	}
}

// warn puts the rows that are left out before the doubts of an answer.
func (s *session) warn(a *Answer) {
	said := s.leftOut(a.Study)
	if said == "" || len(a.Pages) == 0 {
		return
	}
	p := &a.Pages[0]
	note := page.Note{Text: strings.ToUpper(said[:1]) + said[1:] + ".", Remedy: "mend them: hindwatt check lists each with its line"}
	p.Warnings = append([]page.Note{note}, p.Warnings...)
}
