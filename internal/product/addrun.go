package product

import (
	"crypto/sha256"
	"fmt"
	"path"
	"regexp"

	"hindwatt/internal/product/logfile"
)

const mostName = 60 // bytes of a run's name

// device are names that some systems keep for devices.
var device = regexp.MustCompile(`(?i)^(con|prn|aux|nul|com\d|lpt\d)$`)

// AddRun writes a run of the bench: its description and its log, both or none.
//
//	name         of the run: letters, digits and -
//	description  bench/NAME.toml, checked with the whole folder
//	log          bench/NAME.csv, as the logger wrote it
//
// A run of that name, or a log, that is there already is an error.
func AddRun(dir, name, description string, log []byte) ([]Change, error) {
	if !plainName(name) || len(name) > mostName || name == "meters" || device.MatchString(name) {
		return nil, Errors{{Key: "name", Value: name, Problem: "is no name of a run", Want: "want letters, digits and - such as roof-day"}}
	}
	files := []string{path.Join("bench", name+".csv"), path.Join("bench", name+".toml")} // a log without description does no harm
	contents := [][]byte{log, []byte(description)}
	if len(log) > logfile.MaxBytes {
		return nil, Errors{tooLarge(files[0], int64(len(log)), logfile.MaxBytes)}
	}
	root, err := openSource(dir)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	unlock, err := lock(dir)
	if err != nil {
		return nil, err
	}
	defer unlock()
	for _, file := range files {
		if _, err := root.Lstat(file); err == nil {
			return nil, Errors{{Key: "name", Value: name, Problem: fmt.Sprintf("there is a file %s already", file), Want: "want another name"}}
		}
	}
	if _, err := read(dir, root, With(files[1], contents[1])); err != nil {
		return nil, err
	}
	var done []Change
	for i, file := range files {
		if err := replaceFile(root, file, contents[i]); err != nil {
			for _, c := range done {
				_ = root.Remove(c.File)
			}
			return nil, unwritten(file, err)
		}
		done = append(done, Change{File: file, Key: "run " + name, New: contents[i], Created: true, before: sha256.Sum256(nil), after: sha256.Sum256(contents[i])})
	}
	return done, nil
}
