package online

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"
)

const cacheFormat = "culm.kept-reply/1"

// cache is a folder of replies, one file for each address: a line of JSON about the reply, and the body. A
// file that is damaged, or of another address, counts as not there.
type cache struct{ dir string }

// head is the first line of a kept reply.
type head struct {
	Format     string    `json:"format"`
	URL        string    `json:"url"`
	ETag       string    `json:"etag,omitempty"`
	Modified   string    `json:"modified,omitempty"`
	Fetched    time.Time `json:"fetched"`
	FreshUntil time.Time `json:"freshUntil"`
	Hash       string    `json:"sha256"` // of the body
}

type reply struct {
	head
	body []byte
}

func (c cache) path(url string) string {
	sum := sha256.Sum256([]byte(url))
	return filepath.Join(c.dir, hex.EncodeToString(sum[:16])+".reply")
}

func (c cache) read(url string) (reply, bool) {
	data, err := os.ReadFile(c.path(url))
	if err != nil {
		return reply{}, false
	}
	line, body, cut := bytes.Cut(data, []byte("\n"))
	var r reply
	if !cut || json.Unmarshal(line, &r.head) != nil || r.Format != cacheFormat || r.URL != url || r.Hash != hashOf(body) {
		return reply{}, false
	}
	r.body = body
	return r, true
}

func hashOf(body []byte) string {
	sum := sha256.Sum256(body)
	return hex.EncodeToString(sum[:])
}

// write keeps a reply whole or not at all.
func (c cache) write(r reply) error {
	r.Hash = hashOf(r.body)
	line, err := json.Marshal(r.head)
	if err != nil {
		return fmt.Errorf("keeping the reply: %w", err)
	}
	if err := os.MkdirAll(c.dir, 0o700); err != nil {
		return fmt.Errorf("keeping the reply: %w", err)
	}
	temporary, err := os.CreateTemp(c.dir, ".reply-*")
	if err != nil {
		return fmt.Errorf("keeping the reply: %w", err)
	}
	_, err = temporary.Write(append(append(line, '\n'), r.body...))
	err = errors.Join(err, temporary.Close())
	if err == nil {
		err = os.Rename(temporary.Name(), c.path(r.URL))
	}
	if err != nil {
		_ = os.Remove(temporary.Name()) // the first error is the one to tell
		return fmt.Errorf("keeping the reply: %w", err)
	}
	return nil
}
