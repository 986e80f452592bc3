package grid

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/gofrs/flock"
)

// chunkSize is how many points are computed and written together. It is fixed, so that a run goes on whatever machine it began on.
const chunkSize = 4

// A chunk is what its points came to.
type chunk struct {
	Chunk  int               `json:"chunk"`
	Values [][]*float64      `json:"values"`        // by point, then by figure, in the figure's unit; null: none
	Units  []string          `json:"units"`         // of the figures, "" where none of the chunk has one
	Why    map[string]string `json:"why,omitempty"` // by place in the chunk: why there is no figure
}

// rows is the file that chunks are appended to. Its first line says what it is of; each other line is the checksum of a chunk and the chunk.
type rows struct {
	path  string
	lock  *flock.Flock
	file  *os.File
	mutex sync.Mutex
	done  map[int]held
	units []string // of the last chunk, which are nearly always those of all
}

// held is a chunk in memory: a grid may have millions of points.
type held struct {
	values []float64 // by point, then by figure; NaN where there is none
	units  []string
	why    map[string]string
}

// hold takes a chunk into memory.
func (r *rows) hold(c chunk) {
	if !slices.Equal(r.units, c.Units) {
		r.units = c.Units
	}
	h := held{units: r.units, why: c.Why}
	for _, row := range c.Values {
		for _, v := range row {
			if v == nil {
				h.values = append(h.values, math.NaN())
			} else {
				h.values = append(h.values, *v)
			}
		}
	}
	r.done[c.Chunk] = h
}

const signature = "hindwatt grid rows 1 "

// Busy says that another run writes to the rows.
type Busy struct{ Path string }

// Error names the file.
func (b *Busy) Error() string {
	return b.Path + ": another run is writing to it; want one run of a grid at a time"
}

// open opens the rows of a grid, which key stands for, and reads what is done. A last line that was torn is taken off. afresh starts over.
func open(path, key string, afresh bool) (*rows, error) {
	r := &rows{path: path, done: map[int]held{}, lock: flock.New(path + ".lock")} // the rows themselves could then not be written everywhere
	got, err := r.lock.TryLock()
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be locked: %w", path, err)
	}
	if !got {
		return nil, &Busy{path}
	}
	if r.file, err = os.OpenFile(path, os.O_CREATE|os.O_RDWR|os.O_APPEND, 0o644); err != nil {
		r.close()
		return nil, err
	}
	if err := r.read(key, afresh); err != nil {
		r.close()
		return nil, err
	}
	return r, nil
}

func (r *rows) close() {
	if r.file != nil {
		_ = r.file.Close()
	}
	_ = r.lock.Close()
}

// read takes what is whole and cuts off what is not.
func (r *rows) read(key string, afresh bool) error {
	file := r.file
	if _, err := file.Seek(0, io.SeekStart); err != nil {
		return err
	}
	in := bufio.NewReaderSize(file, 1<<16)
	first, err := in.ReadString('\n')
	if err != nil && err != io.EOF {
		return err
	}
	torn := err == io.EOF // before anything was computed; or there is nothing yet
	if torn && !strings.HasPrefix(signature, first[:min(len(first), len(signature))]) || !torn && !strings.HasPrefix(first, signature) {
		return fmt.Errorf("%s: is no file of a grid's rows, and is left as it is; want another name for the grid, or this one moved away", r.path)
	}
	if torn || afresh {
		if err := file.Truncate(0); err != nil {
			return err
		}
		_, err := file.WriteString(signature + key + "\n")
		return err
	}
	if strings.TrimSpace(strings.TrimPrefix(first, signature)) != key {
		return errOther{r.path}
	}
	whole := int64(len(first))
	for {
		line, err := in.ReadBytes('\n')
		if err == io.EOF && len(line) == 0 {
			return nil
		}
		c, ok := unpack(line)
		if err != nil && err != io.EOF {
			return err
		}
		if !ok {
			return file.Truncate(whole)
		}
		r.hold(c)
		whole += int64(len(line))
	}
}

// errOther says that the rows are of something else.
type errOther struct{ path string }

func (e errOther) Error() string {
	return e.path + ": holds rows of another grid, or of the folder or the program as they were before; start over with --afresh, or move it away to keep it"
}

// append writes a chunk, whole, at the end.
func (r *rows) append(c chunk) error {
	data, err := json.Marshal(c)
	if err != nil {
		return err
	}
	line := make([]byte, 0, len(data)+10)
	line = fmt.Appendf(line, "%08x ", crc32.ChecksumIEEE(data))
	line = append(append(line, data...), '\n')
	r.mutex.Lock()
	defer r.mutex.Unlock()
	if _, err := r.file.Write(line); err != nil {
		return fmt.Errorf("%s: %w", r.path, err)
	}
	r.hold(c)
	return nil
}

// unpack is a line as a chunk, if it is whole.
func unpack(line []byte) (c chunk, ok bool) {
	sum, data, found := bytes.Cut(bytes.TrimSuffix(line, []byte("\n")), []byte(" "))
	if !found || !bytes.HasSuffix(line, []byte("\n")) {
		return c, false
	}
	want, err := strconv.ParseUint(string(sum), 16, 32)
	if err != nil || uint32(want) != crc32.ChecksumIEEE(data) || json.Unmarshal(data, &c) != nil {
		return c, false
	}
	return c, true
}

var errCut = errors.New("not all of it is computed")
