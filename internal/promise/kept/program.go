package kept

import (
	"crypto/sha256"
	"encoding/hex"
	"io"
	"os"
	"sync"
)

// program is the hash of the program that is running, whatever tree it was built from: a stamp of version control would not tell two
// builds of changed files apart. Binaries of tests and of go run have hashes of their own.
var program = sync.OnceValues(func() (string, error) {
	file, err := self()
	if err != nil {
		return "", err
	}
	defer file.Close()
	h := sha256.New()
	if _, err := io.Copy(h, file); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
})

// self opens the program's file: on Linux the one that runs, even where another was put in its place since.
func self() (*os.File, error) {
	if file, err := os.Open("/proc/self/exe"); err == nil {
		return file, nil
	}
	path, err := os.Executable()
	if err != nil {
		return nil, err
	}
	return os.Open(path)
}
