package bench

import "hindwatt/internal/page"

// Page words the answer.
func (r *Result) Page() (page.Page, error) { return page.Page{ID: "bench"}, nil }
