package promise

import (
	"fmt"

	"hindwatt/internal/page"
	"hindwatt/internal/product"
)

// RunPage is what one run on the bench tells, by itself. What keeps it from counting, or a part of it,
// is among the page's warnings.
func RunPage(p *product.Product, name string) (page.Page, error) {
	run := p.Folder.Runs.Get(name)
	if run == nil {
		return page.Page{}, fmt.Errorf("there is no run %q", name)
	}
	read, _ := newSession(p, Options{}).lookAt(name, run)
	read.page.Warnings = append(read.page.Warnings, append(read.notes, read.faults...)...)
	return read.page, nil
}
