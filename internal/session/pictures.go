package session

import (
	"crypto/sha256"
	"encoding/hex"
	"io"
	"os"
	"path/filepath"

	"abut/internal/abutfile"
	"abut/internal/job"
)

// A job file names the files that its pictures were read from, so that they can be read again:
// those in its own folder or beneath it by their way from there, all others by their mere name. A
// job that is given to somebody else tells nothing of the folders of whoever made it.

// pictures is what a job file in a folder is to say of the pictures' files. Without a folder it is
// for this computer alone, and says where they are.
func (s *Session) pictures(folder string) (all []abutfile.Picture) {
	for _, it := range s.Job().Items {
		src := s.sources[it.ID]
		if src == nil {
			if p, is := s.away[it.ID]; is {
				all = append(all, p)
			}
			continue
		}
		p := abutfile.Picture{Item: it.ID, File: absolute(src.path), Bytes: src.held.bytes, SHA256: hex.EncodeToString([]byte(src.held.sum))}
		if folder != "" {
			p.File = within(absolute(folder), p.File)
		}
		all = append(all, p)
	}
	return all
}

// absolute is a path from the root on, itself where that is not known.
func absolute(path string) string {
	if abs, err := filepath.Abs(path); err == nil {
		return abs
	}
	return path
}

// within is the way from a folder to a file in it or beneath it, with slashes; the file's mere name
// where it lies elsewhere.
func within(folder, file string) string {
	if way, err := filepath.Rel(folder, file); err == nil && filepath.IsLocal(way) {
		return filepath.ToSlash(way)
	}
	return filepath.Base(file)
}

// locate looks for the files that the pictures of a job are from: where the job file, which lies in
// a folder, says, else beside it. anywhere: what it says is of this computer.
func (d *document) locate(folder string, anywhere bool) {
	d.sources, d.away = map[job.ItemID]*source{}, map[job.ItemID]abutfile.Picture{}
	said := map[job.ItemID]abutfile.Picture{}
	for _, p := range d.Pictures {
		said[p.Item] = p
	}
	for _, it := range d.Job.Items {
		p, is := said[it.ID]
		if !is {
			p = abutfile.Picture{Item: it.ID, File: it.Source}
		} else {
			d.away[it.ID] = p
		}
		if src := find(p, folder, anywhere); src != nil {
			d.sources[it.ID] = src
			delete(d.away, it.ID)
		}
	}
}

// find looks for a picture's file, nil for none.
func find(p abutfile.Picture, folder string, anywhere bool) *source {
	name := filepath.FromSlash(p.File)
	var ways []string
	switch {
	case anywhere && filepath.IsAbs(name):
		ways = []string{name}
	case filepath.IsLocal(name) && folder != "":
		ways = []string{filepath.Join(folder, name), filepath.Join(folder, filepath.Base(name))}
	}
	for _, path := range ways {
		info, err := os.Stat(path)
		if err != nil || !info.Mode().IsRegular() || IsDocument(path) {
			continue
		}
		if sum, err := hex.DecodeString(p.SHA256); err == nil && len(sum) == sha256.Size {
			return &source{path: path, held: stamp{bytes: p.Bytes, sum: string(sum)}}
		}
		// What it held then is not known: it is told when it changes from now on.
		if held, err := stampNow(path); err == nil {
			return &source{path: path, held: held}
		}
	}
	return nil
}

// stampNow is the stamp of what a file holds.
func stampNow(path string) (stamp, error) {
	f, err := os.Open(path)
	if err != nil {
		return stamp{}, err
	}
	defer f.Close()
	sum := sha256.New()
	if _, err = io.Copy(sum, f); err != nil {
		return stamp{}, err
	}
	return stampOf(path, sum), nil
}
