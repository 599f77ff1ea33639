package cli

import (
	"crypto/sha256"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"lowslung/draw"
	"lowslung/quantity"
	"lowslung/shop"
)

// paperOf is what drawings of a document say of it: its name, the day its file was last changed, the first digits of its hash.
func paperOf(path, name, paper string, units quantity.System) (shop.Paper, error) {
	f, err := draw.ParseFormat(paper)
	if err != nil {
		return shop.Paper{}, err
	}
	p := shop.Paper{Format: f, Units: units, Document: name}
	info, err := os.Stat(path)
	if err != nil {
		return p, err
	}
	dir, file := filepath.Split(path)
	if dir == "" {
		dir = "."
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return p, err
	}
	defer root.Close()
	text, err := fs.ReadFile(root.FS(), file)
	if err != nil {
		return p, err
	}
	p.Hash = fmt.Sprintf("%x", sha256.Sum256(text))[:12]
	p.Unix = info.ModTime().Unix()
	p.Date = info.ModTime().UTC().Format("2006-01-02")
	return p, nil
}

// An outFile is a file to write into a folder.
type outFile struct {
	name string
	data []byte
}

// putFiles writes files into a folder, made when it is not there, each whole or not at all, and tells where they are.
func putFiles(dir string, files []outFile) ([]string, error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, fmt.Errorf("the folder %s cannot be made: %w", dir, err)
	}
	var out []string
	for _, f := range files {
		to := filepath.Join(dir, f.name)
		tmp, err := os.CreateTemp(dir, ".half-*")
		if err != nil {
			return out, fmt.Errorf("%s cannot be written: %w", to, err)
		}
		_, err = tmp.Write(f.data)
		if e := tmp.Close(); err == nil {
			err = e
		}
		if err == nil {
			err = os.Chmod(tmp.Name(), 0o644)
		}
		if err == nil {
			err = os.Rename(tmp.Name(), to)
		}
		if err != nil {
			os.Remove(tmp.Name())
			return out, fmt.Errorf("%s cannot be written: %w", to, err)
		}
		out = append(out, to)
	}
	return out, nil
}
