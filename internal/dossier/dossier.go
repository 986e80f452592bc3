// Package dossier writes what is published of a product: every promise with its evidence, and the
// answer to each of the maker's questions, as one page that needs nothing else.
package dossier

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"

	"hindwatt/internal/promise"
)

// Write writes the page as index.html into a folder, which is made if it is not there. The page
// is whole or not there: what stood before stays if anything fails.
//
//	made  the line at the page's foot: what it was computed from
//
// The path of the page is returned.
func Write(report *promise.Report, dir, made string) (string, error) {
	site := report.Published(made)
	var page bytes.Buffer
	if err := site.HTML(&page); err != nil {
		return "", fmt.Errorf("dossier: %w", err)
	}
	_, missing := os.Stat(dir)
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return "", fmt.Errorf("dossier: %w", err)
	}
	path := filepath.Join(dir, "index.html")
	if err := Replace(path, page.Bytes()); err != nil {
		if missing != nil {
			os.Remove(dir) // it was made for the page; one that holds something stays
		}
		return "", fmt.Errorf("dossier: %w", err)
	}
	return path, nil
}

// Replace gives a file a new content at once, by a draft beside it.
func Replace(path string, data []byte) error {
	draft := path + ".new"
	err := os.WriteFile(draft, data, 0o644)
	if err == nil {
		err = os.Rename(draft, path)
	}
	if err != nil {
		os.Remove(draft)
	}
	return err
}
