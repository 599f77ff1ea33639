package rig

import (
	"errors"
	"io/fs"
	"path"
	"slices"
	"strings"
)

// inside resolves a file name that a text in folder of the workshop gives; the result is relative to the workshop folder.
// bad says what is wrong with the name when it cannot be followed.
func inside(folder, name string) (file, bad string) {
	switch {
	case strings.TrimSpace(name) == "":
		return "", "expected a file name"
	case strings.ContainsRune(name, '\\'):
		return "", `expected a file name with "/" between folders, not "\"`
	case path.IsAbs(name), len(name) > 1 && name[1] == ':', strings.HasPrefix(name, "~"):
		return "", "expected a name relative to this file, inside the workshop folder"
	case strings.Contains(name, "://"):
		return "", "expected a file of the workshop folder; nothing is fetched from the network"
	case strings.ContainsRune(name, 0):
		return "", "expected a file name"
	}
	file = path.Join(folder, name)
	if file == "." || file == ".." || strings.HasPrefix(file, "../") {
		return "", "expected a file inside the workshop folder"
	}
	return file, ""
}

func folder(file string) string {
	if d := path.Dir(file); d != "." {
		return d
	}
	return ""
}

// bases reads the chain of bases behind the document in file.
func (l *loader) bases(file string) {
	for doc := l.chain[0]; ; {
		at := doc.Get("base")
		if at == nil || at.Kind == NullNode {
			return
		}
		if at.Kind != ScalarNode {
			l.broken = true
			l.add("wrong-type", at.Place, "base", `found %s for "base", expected the file of one build`, found(at))
			return
		}
		next, bad := inside(folder(file), at.Text)
		switch {
		case bad != "":
			l.add("bad-base", at.Place, "base", `found %s for "base", %s`, found(at), bad)
		case next == file:
			l.add("base-cycle", at.Place, "base", `found %s for "base", which is this file itself; expected another build`, found(at))
		case slices.Contains(l.files, next):
			round := append(slices.Clone(l.files[slices.Index(l.files, next):]), next)
			l.add("base-cycle", at.Place, "base", `found bases that lead back to where they began (%s), expected them to end; take "base" out of one of them`, strings.Join(round, " → "))
		case len(l.chain) > MaxBases:
			l.add("base-depth", at.Place, "base", `found more than %d bases behind each other, expected at most %d; merge some of them`, MaxBases, MaxBases)
		default:
			root := l.read(next, at, "base")
			if root == nil || !l.isMap(root) {
				break
			}
			l.chain = append(l.chain, root)
			doc, file = root, next
			continue
		}
		l.broken = true
		return
	}
}

// read reads and parses a file that the text names at the given node; nil when that fails.
func (l *loader) read(file string, at *Node, path string) *Node {
	text, ok := l.text(file, at, path)
	if !ok {
		return nil
	}
	return l.tree(file, text)
}

// text reads a file that the text names at the given node.
func (l *loader) text(file string, at *Node, path string) ([]byte, bool) {
	text, err := l.src(file)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		l.add("no-such-file", at.Place, path, "found no file %s in the workshop, expected the file that is named here", quote(file))
		return nil, false
	case err != nil:
		l.add("no-such-file", at.Place, path, "the file %s cannot be read (%v)", quote(file), err)
		return nil, false
	}
	l.files = append(l.files, file)
	return text, true
}

// surplusNulls reports a null in a patch that takes out nothing: most often a name misspelt. What a bin item supplies may
// be taken out as well.
func (l *loader) surplusNulls(tree *Node) {
	if len(l.chain) < 2 {
		return
	}
	var under *Node
	for i := len(l.chain) - 1; i >= 0; i-- {
		if i < len(l.chain)-1 {
			l.surplus(under, l.chain[i], tree, nil)
		}
		under = Merge(under, without(l.chain[i], "base"))
	}
}

func (l *loader) surplus(under, patch, tree *Node, at []string) {
	for i := range patch.Keys {
		k := &patch.Keys[i]
		path := append(at[:len(at):len(at)], k.Name)
		have := under.Get(k.Name)
		if k.Value.Kind != NullNode {
			l.surplus(have, k.Value, tree, path)
			continue
		}
		if have != nil || k.Value.Text == "" || k.Name == "base" || l.shelf.supplies(tree, path) {
			continue
		}
		var names []string
		if under != nil {
			for j := range under.Keys {
				names = append(names, under.Keys[j].Name)
			}
		}
		l.add("nothing-to-remove", k.Place, strings.Join(path, "/"), "found null for %s, but the base has nothing of that name to take out%s",
			quote(k.Name), l.like(k.Name, names))
	}
}
