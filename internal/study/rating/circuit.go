package rating

import (
	"hindwatt/internal/figure/diagram"
	"hindwatt/internal/page"
)

func (r *Result) circuit() page.Figure {
	caption := "Drawn from [circuit]; still, and not to scale."
	return page.Figure{Plot: diagram.Of(&r.Input.Design), Caption: caption}
}
