package intake

import (
	"fmt"
	"slices"
	"strings"

	"hindwatt/internal/product"
	"hindwatt/internal/product/tree"
)

// slug makes a name of a text.
func slug(text string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return folded(string(r)) == "" || r == '%' || r == '#' }), "-")
}

// bom writes the rows as tables of production.toml.
func (p *Plan) bom(base *product.Product) {
	var b strings.Builder
	seen := map[string]bool{}
	for i := range p.items {
		it := &p.items[i]
		get := map[string]string{}
		for _, f := range it.fields {
			if f.Column != "prices" {
				get[f.Column] = f.Text
			}
		}
		name := slug(get["name"])
		wrong := func(key, problem string) {
			p.fault(it, -1, &product.Error{Key: key, Value: get["name"], Problem: problem})
		}
		switch {
		case name == "":
			wrong("name", "is no name; want letters, digits and -")
		case seen[name]:
			wrong("name", "stands twice; want each line once")
		}
		seen[name] = true
		get["prices"] = p.prices(it, wrong)
		if it.bad {
			continue
		}
		if get["part"] == "" && base.Parts.Get(name) != nil {
			get["part"] = name
		}
		if line := base.Production.BOM.Get(name); line != nil {
			if it.there = sameLine(line, get); !it.there {
				wrong("name", "is in production.toml already, with other values; want it changed there")
			}
			continue
		}
		writeLine(&b, name, get)
	}
	p.text = b.String()
}

// writeLine writes one line of the bill of materials as a table.
func writeLine(b *strings.Builder, name string, get map[string]string) {
	fmt.Fprintf(b, "\n[bom.%s]\n", tree.KeyPart(name))
	for _, key := range []string{"part", "what", "each", "prices", "minimum_order", "pack", "attrition"} {
		text := tree.Quote(get[key])
		switch {
		case get[key] == "":
			continue
		case key != "part" && key != "what" && key != "prices":
			text = bare(get[key])
		}
		fmt.Fprintf(b, "%s = %s\n", key, text)
	}
}

// bare writes a number as a number, anything else in quotes.
func bare(text string) string {
	if strings.Trim(text, "0123456789.") == "" && tree.IsValue(text) {
		return text
	}
	return tree.Quote(text)
}

// prices joins the prices of a row: one, or one for each number of pieces.
func (p *Plan) prices(it *item, wrong func(key, problem string)) string {
	type at struct {
		from int
		text string
	}
	var all []at
	for i, f := range it.fields {
		if f.Column == "prices" {
			all = append(all, at{max(p.columns[it.from[i]].from, 1), f.Text})
		}
	}
	slices.SortStableFunc(all, func(a, b at) int { return a.from - b.from })
	var parts []string
	for i, a := range all {
		if i > 0 && all[i-1].from == a.from {
			wrong("prices", fmt.Sprintf("two prices from %s on; want each once", plural(a.from, "piece")))
			return ""
		}
		parts = append(parts, fmt.Sprintf("%d:%s", a.from, a.text))
	}
	return strings.Join(parts, ", ")
}

// sameLine reports whether a line of the folder says what a row says.
func sameLine(line *product.BOMLine, get map[string]string) bool {
	for key, text := range map[string]string{
		"part": line.Part.Text, "what": line.What.Text, "each": line.Each.Text, "minimum_order": line.MinimumOrder.Leaf.Text,
		"pack": line.Pack.Leaf.Text, "attrition": line.Attrition.Text,
	} {
		if get[key] != "" && meaning(get[key]) != meaning(text) {
			return false
		}
	}
	return get["prices"] == "" || get["prices"] == line.Prices.Leaf.Text
}
