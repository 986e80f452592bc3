package bind

import (
	"time"

	"hindwatt/internal/product"
)

// Ledger returns the records of units of the product's own revision. A folder without revisions
// has one kind of unit, so all count; a variant that was never made has none. A row without a
// serial counts by its revision, or its batch's, or else by its day, for want of anything better;
// guessed is the number of rows that count by their day alone where there are several revisions.
func Ledger(p *product.Product) (own *product.Ledger, guessed int) {
	all, revisions := p.Folder.Ledger(), p.Folder.Revisions()
	switch {
	case len(revisions) == 0 && p.Variant == "":
		return all, 0
	case !isMade(p, revisions):
		return &product.Ledger{InDoubt: all.InDoubt}, 0
	}
	own = &product.Ledger{InDoubt: all.InDoubt}
	name := p.RevisionName()
	batches := map[string]string{}
	for _, u := range all.Units {
		if u.Batch != "" {
			batches[u.Batch] = u.Revision
		}
		if u.Revision == name {
			own.Units = append(own.Units, u)
		}
	}
	for _, m := range all.Made {
		if m.Batch.Set() && m.Revision.Set() {
			batches[m.Batch.Text] = m.Revision.Text
		}
	}
	belongs := func(revision, batch string, day time.Time) bool {
		if revision == "" {
			revision = batches[batch]
		}
		if revision == "" {
			r, _ := p.Folder.Revision(day, "")
			revision = r.Name
			if revision == name && len(revisions) > 1 {
				guessed++
			}
		}
		return revision == name
	}
	for _, m := range all.Made {
		if belongs(m.Revision.Text, m.Batch.Text, m.Date.Day) {
			own.Made = append(own.Made, m)
		}
	}
	for _, s := range all.Sold {
		if belongs("", "", s.Date.Day) {
			own.Sold = append(own.Sold, s)
		}
	}
	for _, r := range all.Returned {
		if belongs(r.Revision.Text, r.Batch.Text, r.Date.Day) {
			own.Returned = append(own.Returned, r)
		}
	}
	return own, guessed
}
