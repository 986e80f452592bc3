package desk

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// againPath is where a second program asks the one that is running for a way in.
const againPath = "/again"

// notice is what a running desk leaves for others that open the same folder. Only its user may read it.
type notice struct {
	Base string `json:"base"` // http://127.0.0.1:PORT
	Key  string `json:"key"`  // proves that whoever asks may read the notice
}

// noticeFile is where the notice of a folder is; "" where the user has no place for such.
func noticeFile(dir string) string {
	cache, err := os.UserCacheDir()
	if err != nil {
		return ""
	}
	return filepath.Join(cache, "hindwatt", fmt.Sprintf("desk-%x.json", sha256.Sum256([]byte(dir)))[:len("desk-")+24]+".json")
}

// announce leaves a notice, and returns what takes it away again.
func (d *Desk) announce() (forget func()) {
	path := noticeFile(d.dir)
	data, err := json.Marshal(notice{d.base(), d.guard.again})
	if path == "" || err != nil || os.MkdirAll(filepath.Dir(path), 0o700) != nil || os.WriteFile(path, data, 0o600) != nil {
		return func() {} // a second program then opens a desk of its own
	}
	return func() {
		if now, err := os.ReadFile(path); err == nil && string(now) == string(data) {
			os.Remove(path)
		}
	}
}

// again gives another way in to whoever could read the notice.
func (d *Desk) again(w http.ResponseWriter, r *http.Request) {
	if !same(r.Header.Get("Authorization"), "Bearer "+d.guard.again) {
		refuse(w, http.StatusForbidden, "Only a program of the same user may ask this.")
		return
	}
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	io.WriteString(w, d.Address())
}

// Running returns the address of a desk that serves a folder already; ok is false if there is none.
func Running(dir string) (address string, ok bool) {
	dir, err := filepath.Abs(dir)
	if err != nil {
		return "", false
	}
	data, err := os.ReadFile(noticeFile(dir))
	var n notice
	if err != nil || json.Unmarshal(data, &n) != nil || !strings.HasPrefix(n.Base, "http://127.0.0.1:") {
		return "", false
	}
	ask, err := http.NewRequest(http.MethodPost, n.Base+againPath, nil)
	if err != nil {
		return "", false
	}
	ask.Header.Set("Authorization", "Bearer "+n.Key)
	client := http.Client{Timeout: 2 * time.Second}
	answer, err := client.Do(ask)
	if err != nil {
		return "", false
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(io.LimitReader(answer.Body, 1<<10))
	if err != nil || answer.StatusCode != http.StatusOK || !strings.HasPrefix(string(text), n.Base+"/enter?key=") {
		return "", false
	}
	return string(text), true
}
