package bind

import (
	"hindwatt/internal/page"
	"hindwatt/internal/product/caution"
)

// Note turns a caution of the engineering checks into one on a page.
func Note(c caution.Caution) page.Note {
	note := page.Note{Text: c.Text, Remedy: c.Remedy, From: c.From()}
	if c.Source != "" {
		note.Text += " (" + c.Source + ")"
	}
	return note
}
