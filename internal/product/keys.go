package product

import (
	"reflect"
	"slices"
	"strings"
	"sync"
)

// Key is one key or column that the folder may have.
type Key struct {
	File string // "product.toml", "installations/NAME.toml", "records/made.csv"
	Path string // "sense.top", "part.NAME.drops"; NAME stands for any name
	Kind string // of the part that has it; "" elsewhere
	What string // what is to stand there, as the schema calls it: "resistance", "Word"
}

// fileSchemas are the files and the types that they hold.
var fileSchemas = []struct {
	file string
	of   reflect.Type
}{
	{productFile, reflect.TypeFor[Main]()},
	{partsFile, reflect.TypeFor[partsDocument]()},
	{promisesFile, reflect.TypeFor[promisesDocument]()},
	{productionFile, reflect.TypeFor[Production]()},
	{"installations/NAME.toml", reflect.TypeFor[Installation]()},
	{"variants/NAME.toml", reflect.TypeFor[variantDocument]()},
	{changesFile, reflect.TypeFor[changesDocument]()},
	{metersFile, reflect.TypeFor[metersDocument]()},
	{"bench/NAME.toml", reflect.TypeFor[Run]()},
	{"decisions/NAME.md", reflect.TypeFor[Decision]()},
	{"records/made.csv", reflect.TypeFor[Made]()},
	{"records/sold.csv", reflect.TypeFor[Sold]()},
	{"records/returned.csv", reflect.TypeFor[Returned]()},
	{"records/spent.csv", reflect.TypeFor[Spent]()},
	{"records/hours.csv", reflect.TypeFor[Hours]()},
	{"records/readings.csv", reflect.TypeFor[Reading]()},
}

// Keys returns every key of every file, in the schema's order.
func Keys() []Key { return slices.Clone(allKeys()) }

var allKeys = sync.OnceValue(func() (keys []Key) {
	for _, f := range fileSchemas {
		keys = append(keys, keysUnder(f.file, "", "", f.of)...)
	}
	return keys
})

func keysUnder(file, path, kind string, t reflect.Type) (keys []Key) {
	p := planOf(t)
	for _, s := range p.fields {
		of, key := t.Field(s.index).Type, join(path, s.key)
		if named, ok := reflect.New(of).Interface().(interface{ entry() reflect.Type }); ok {
			of, key = named.entry(), key+".NAME"
		}
		if _, single := reflect.New(of).Interface().(value); single {
			what := s.is
			if what == "" {
				what, _, _ = strings.Cut(of.Name(), "[")
			}
			keys = append(keys, Key{file, key, kind, what})
		}
		if _, single := reflect.New(of).Interface().(value); !single || of == reflect.TypeFor[Trim]() {
			keys = append(keys, keysUnder(file, key, kind, of)...)
		}
	}
	for i := range t.NumField() {
		if when := t.Field(i).Tag.Get("when"); when != "" {
			keys = append(keys, keysUnder(file, path, when, t.Field(i).Type.Elem())...)
		}
	}
	return keys
}

func (*Map[T]) entry() reflect.Type { return reflect.TypeFor[T]() }

// belongs returns in which table a key would be at home, for a key that stands
// elsewhere; "" if there is none or more than one.
func belongs(key string, at place) string {
	home := ""
	for _, k := range allKeys() {
		table, last, found := cutLast(k.Path)
		if last != key || k.Kind != "" || strings.HasPrefix(k.File, "records/") {
			continue
		}
		where := k.File
		if found {
			where = "[" + table + "]"
			if k.File != at.file {
				where += " of " + k.File
			}
		}
		if home != "" && home != where {
			return ""
		}
		home = where
	}
	return home
}

// cutLast splits a dotted key before its last part.
func cutLast(path string) (table, last string, found bool) {
	i := strings.LastIndexByte(path, '.')
	if i < 0 {
		return "", path, false
	}
	return path[:i], path[i+1:], true
}

// otherKind returns the kinds of part that have a key; "" if there is none.
func otherKind(key string) string {
	var kinds []string
	for _, k := range allKeys() {
		if _, last, _ := cutLast(k.Path); last == key && k.Kind != "" {
			kinds = append(kinds, k.Kind)
		}
	}
	return listed(kinds)
}
