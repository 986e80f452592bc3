package grid

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"hindwatt/internal/hindsight/figures"
	"hindwatt/internal/product"
	"hindwatt/internal/product/tree"
	"hindwatt/internal/quantity"
)

// Bounds of what a grid may ask for.
const (
	mostBytes  = 1 << 20
	MostPoints = 10_000_000
	mostInputs = 64
)

// Grid is what is wanted, checked.
type Grid struct {
	File          string
	Figures       []figures.Name
	Variants      []string // "" is the product as it is
	Installations []string // "" is as the studies choose
	Inputs        []Input
	Samples       int // of the Latin hypercube; 0: none
	Seed          uint64

	folder *product.Folder
}

// Input is one input that is varied: over its values, or, where there are none, over a range by the hypercube.
type Input struct {
	Path   string
	Unit   string    // of the numbers
	Values []float64 // in the unit
	Low    float64   // of the range, likewise
	High   float64
	Whole  bool

	texts []*tree.Node // of a list, by value
	is    product.Input
}

// Points is how many there are.
func (g *Grid) Points() int {
	n := len(g.Variants) * len(g.Installations) * max(1, g.Samples)
	for _, in := range g.Inputs {
		if len(in.Values) == 0 {
			continue
		}
		if n *= len(in.Values); n > MostPoints {
			return MostPoints + 1
		}
	}
	return n
}

// Read reads what a file asks of a folder. Whatever is wrong is returned at once, as product.Errors in the file's order.
//
//	seed  of the studies, and of the hypercube where the file names none
func Read(ctx context.Context, folder *product.Folder, file string, seed uint64) (*Grid, error) {
	info, err := os.Stat(file)
	if err == nil && info.Size() > mostBytes {
		return nil, fmt.Errorf("%s: has more than 1 MiB; want a file of TOML that says what to compute", file)
	}
	data, err := os.ReadFile(file)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%s: there is no such file; docs/verbs.md shows one", file)
	} else if err != nil {
		return nil, err
	}
	r := &reader{ctx: ctx, faults: &tree.Faults{}, grid: &Grid{File: file, Seed: seed, folder: folder}}
	top := tree.ReadTOML(tree.NewFile(filepath.ToSlash(file), data), r.faults)
	if len(r.faults.List) == 0 {
		r.read(top)
	}
	if len(r.faults.List) > 0 {
		return nil, r.faults.List.Sorted()
	}
	return r.grid, ctx.Err()
}

type reader struct {
	ctx      context.Context
	faults   *tree.Faults
	grid     *Grid
	products []*product.Product // of the variants
}

var (
	topKeys   = []string{"figures", "variants", "installations", "seed", "input", "sample"}
	inputKeys = []string{"from", "to", "count", "list"}
)

func (r *reader) read(top *tree.Node) {
	r.known(top, "", topKeys)
	g := r.grid
	if n := top.Child("seed"); n != nil {
		g.Seed = uint64(r.whole(n, "seed", 0, math.MaxInt64))
	}
	r.variants(top.Child("variants"))
	if len(r.products) == 0 {
		return
	}
	r.installations(top.Child("installations"))
	r.figures(top)
	sample := top.Child("sample")
	if sample != nil {
		r.sample(sample)
	}
	inputs := top.Child("input")
	if inputs != nil && r.table(inputs, "input") {
		for _, n := range inputs.Children {
			r.input(n)
		}
		if len(inputs.Children) > mostInputs {
			r.faults.Add(inputs.FaultAtKey("input", fmt.Sprintf("has %d inputs", len(inputs.Children)), fmt.Sprintf("want at most %d", mostInputs)))
		}
	}
	if sample != nil && len(r.faults.List) == 0 && !slices.ContainsFunc(g.Inputs, func(in Input) bool { return len(in.Values) == 0 }) {
		r.faults.Add(sample.FaultAtKey("sample", "has no input to spread points over", "want [input.\"…\"] with from and to, and without count"))
	}
	if len(r.faults.List) == 0 && g.Points() > MostPoints {
		r.faults.Add(top.Child("figures").FaultAtKey("figures", "would be computed at more than 10 000 000 points", "want fewer values, variants or installations"))
	}
}

// known reports keys that a table does not have.
func (r *reader) known(n *tree.Node, at string, keys []string) {
	for _, c := range n.Children {
		if slices.Contains(keys, c.Key) {
			continue
		}
		want := "want " + strings.Join(keys, ", ")
		if near := product.Nearest(c.Key, keys); near != "" {
			want = "did you mean " + near
		}
		r.faults.Add(c.FaultAtKey(join(at, c.Key), "unknown key", want))
	}
}

func join(at, key string) string {
	if at == "" {
		return key
	}
	return at + "." + key
}

func (r *reader) table(n *tree.Node, key string) bool {
	if n.Kind != tree.Table {
		r.faults.Add(n.Fault(key, "is "+n.Kind.String(), "want a table"))
	}
	return n.Kind == tree.Table
}

func (r *reader) whole(n *tree.Node, key string, least, most int64) int64 {
	v, err := strconv.ParseInt(strings.ReplaceAll(n.Text, "_", ""), 10, 64)
	if n.Kind != tree.Integer || err != nil || v < least || v > most {
		r.faults.Add(n.Fault(key, "is no such number", fmt.Sprintf("want a whole number from %d to %d", least, most)))
		return least
	}
	return v
}

// texts are the elements of a list of texts, each of which use is told of; an empty list is at fault.
func (r *reader) texts(n *tree.Node, key, want string, use func(n *tree.Node)) {
	switch {
	case n.Kind == tree.String:
		use(n)
	case n.Kind != tree.Array:
		r.faults.Add(n.Fault(key, "is "+n.Kind.String(), want))
	case len(n.Children) == 0:
		r.faults.Add(n.Fault(key, "is empty", want))
	default:
		seen := map[string]bool{}
		for _, c := range n.Children {
			switch {
			case c.Kind != tree.String:
				r.faults.Add(c.Fault(key, "is "+c.Kind.String(), want))
			case seen[c.Text]:
				r.faults.Add(c.Fault(key, "stands here twice", "want each once"))
			default:
				seen[c.Text] = true
				use(c)
			}
		}
	}
}

// misnamed tells of a name that there is not, at its place in the file.
func (r *reader) misnamed(n *tree.Node, key string, err error) {
	var e *product.Error
	if errors.As(err, &e) {
		r.faults.Add(n.Fault(key, e.Problem, e.Want))
		return
	}
	r.faults.Add(n.Fault(key, err.Error(), ""))
}

func (r *reader) variants(n *tree.Node) {
	g := r.grid
	take := func(name string, at *tree.Node) {
		p, err := g.folder.Resolve(name)
		if err != nil {
			r.misnamed(at, "variants", err)
			return
		}
		g.Variants, r.products = append(g.Variants, name), append(r.products, p)
	}
	if n == nil {
		take("", nil)
		return
	}
	r.texts(n, "variants", `want a list such as ["", "NAME"]; "" is the product as it is`, func(c *tree.Node) { take(c.Text, c) })
}

func (r *reader) installations(n *tree.Node) {
	g := r.grid
	if n == nil {
		g.Installations = []string{""}
		return
	}
	names := r.products[0].Installations.Names()
	r.texts(n, "installations", "want a list of names of the folder's installations", func(c *tree.Node) {
		if !slices.Contains(names, c.Text) {
			_, err := figures.Setup{Folder: g.folder, Installation: c.Text}.Product()
			r.misnamed(c, "installations", err)
			return
		}
		g.Installations = append(g.Installations, c.Text)
	})
}

func (r *reader) figures(top *tree.Node) {
	const want = `want figures = ["rating.current"], or others that studies have`
	n := top.Child("figures")
	if n == nil {
		r.faults.Add(&product.Error{File: top.File.Name, Key: "figures", Problem: "there are none", Want: want})
		return
	}
	g := r.grid
	setup := figures.Setup{Folder: g.folder, Variant: g.Variants[0], Seed: g.Seed}
	r.texts(n, "figures", want, func(c *tree.Node) {
		name, err := setup.Find(r.ctx, r.products[0], c.Text)
		if err != nil {
			r.misnamed(c, "figures", err)
			return
		}
		g.Figures = append(g.Figures, name)
	})
}

func (r *reader) sample(n *tree.Node) {
	if !r.table(n, "sample") {
		return
	}
	r.known(n, "sample", []string{"count", "seed"})
	count := n.Child("count")
	if count == nil {
		r.faults.Add(n.FaultAtKey("sample.count", "is missing", "want how many points are spread, such as count = 1000"))
		return
	}
	r.grid.Samples = int(r.whole(count, "sample.count", 2, MostPoints))
	if seed := n.Child("seed"); seed != nil {
		r.grid.Seed = uint64(r.whole(seed, "sample.seed", 0, math.MaxInt64))
	}
}

// input reads one input that is varied.
func (r *reader) input(n *tree.Node) {
	key := "input." + tree.KeyPart(n.Key)
	if !r.table(n, key) {
		return
	}
	is, err := figures.FindInput(r.products[0], n.Key)
	if err != nil {
		var e *product.Error
		problem, want := err.Error(), ""
		if errors.As(err, &e) {
			problem, want = e.Problem, e.Want
		}
		if n.Dotted() || len(n.Children) > 0 && n.Children[0].Kind == tree.Table {
			problem, want = "is no path to a number", `want the whole path in quotes, such as [input."product.sense.top"]`
		}
		r.faults.Add(n.FaultAtKey(key, problem, want))
		return
	}
	r.known(n, key, inputKeys)
	in := Input{Path: n.Key, Whole: is.Whole, Unit: is.Unit, is: is}
	if in.Unit == "" && !is.Whole && is.Dim != quantity.Ratio {
		in.Unit = is.Dim.Unit()
	}
	from, to, count, list := n.Child("from"), n.Child("to"), n.Child("count"), n.Child("list")
	before := len(r.faults.List)
	switch {
	case list != nil && (from != nil || to != nil || count != nil):
		r.faults.Add(list.FaultAtKey(key, "has a list and a range", "want list alone, or from, to and count"))
	case list != nil:
		r.list(list, key, &in)
	case from == nil || to == nil:
		r.faults.Add(n.FaultAtKey(key, "has no values", `want list = ["…"], or from, to and count`))
	default:
		r.span(from, to, count, key, &in)
	}
	if len(r.faults.List) == before {
		r.grid.Inputs = append(r.grid.Inputs, in)
	}
}

// possible lays a value over the product under each variant, so that what the folder would not accept is told at its place.
func (r *reader) possible(n *tree.Node, key string, in *Input) bool {
	for i, p := range r.products {
		_, err := r.grid.folder.Lay(r.grid.Variants[i], product.Put{Path: in.Path, At: n})
		if err == nil {
			continue
		}
		var all product.Errors
		var one *product.Error
		switch {
		case errors.As(err, &all):
			one = all[0]
		case !errors.As(err, &one):
			r.faults.Add(n.Fault(key, err.Error(), ""))
			return false
		}
		problem := one.Problem
		if one.File != n.File.Name { // it makes something else of the folder wrong
			problem = "cannot be laid: " + one.Error()
		} else if p.Variant != "" && i > 0 {
			problem += " under variant " + p.Variant
		}
		want := one.Want
		if one.File != n.File.Name {
			want = ""
		}
		r.faults.Add(n.Fault(key, problem, want))
		return false
	}
	return true
}

// number is a value of the file in the input's unit. It has been found possible.
func (r *reader) number(n *tree.Node, in *Input) (float64, bool) {
	if n.Kind == tree.Integer || n.Kind == tree.Float {
		v, err := strconv.ParseFloat(strings.ReplaceAll(n.Text, "_", ""), 64)
		return v, err == nil
	}
	text, _, _ := strings.Cut(n.Text, " for ")
	q, err := quantity.ParseAs(text, in.is.Dim)
	return tidy(figures.Number(q.Value, in.is.Dim, in.Unit)), err == nil
}

// tidy takes off the digits that only a change of unit, or steps of a range, have made.
func tidy(v float64) float64 {
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', 13, 64), 64)
	return v
}

func (r *reader) list(n *tree.Node, key string, in *Input) {
	if n.Kind != tree.Array || len(n.Children) == 0 {
		problem := "is empty"
		if n.Kind != tree.Array {
			problem = "is " + n.Kind.String()
		}
		r.faults.Add(n.Fault(join(key, "list"), problem, "want a list of values such as "+in.is.Written(in.is.Value)))
		return
	}
	for _, c := range n.Children {
		if !r.possible(c, join(key, "list"), in) {
			continue
		}
		v, ok := r.number(c, in)
		if !ok {
			r.faults.Add(c.Fault(join(key, "list"), "is no number", "want one such as "+in.is.Written(in.is.Value)))
			continue
		}
		in.Values, in.texts = append(in.Values, v), append(in.texts, c)
	}
}

// span reads a range: with count a grid over it, without one it is left to the hypercube.
func (r *reader) span(from, to, count *tree.Node, key string, in *Input) {
	if !r.possible(from, join(key, "from"), in) || !r.possible(to, join(key, "to"), in) {
		return
	}
	var okLow, okHigh bool
	in.Low, okLow = r.number(from, in)
	in.High, okHigh = r.number(to, in)
	switch {
	case !okLow || !okHigh:
		r.faults.Add(from.Fault(join(key, "from"), "is no number", "want one such as "+in.is.Written(in.is.Value)))
	case in.Low >= in.High:
		r.faults.Add(to.Fault(join(key, "to"), "is not above from", "want more than "+from.Text))
	case count == nil && r.grid.Samples == 0:
		r.faults.Add(from.FaultAtKey(key, "has no count, and there is no [sample]", "want count = 9, or [sample] with count to spread points over all ranges"))
	case count != nil:
		n := int(r.whole(count, join(key, "count"), 2, MostPoints))
		for i := range n {
			v := tidy(in.Low + (in.High-in.Low)*float64(i)/float64(n-1))
			if in.Whole && v != math.Round(v) {
				r.faults.Add(count.Fault(join(key, "count"), "gives parts of a count", "want steps that are whole"))
				return
			}
			in.Values = append(in.Values, v)
		}
	case in.Whole:
		r.faults.Add(from.FaultAtKey(key, "counts, and cannot be spread", "want list, or count with whole steps"))
	}
}
