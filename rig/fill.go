package rig

// fill puts the fields of bin items under those of the parts, shocks, springs and shafts that name them: the item is the
// target, what the document and its bases wrote are the patches, so a null takes a field of the item out.
func (l *loader) fill(tree *Node) *Node {
	for _, assembly := range []string{"chassis", "front", "rear"} {
		layers := l.layers(assembly, "parts")
		tree = rewrite(tree, []string{assembly, "parts"}, func(name string, part *Node) *Node {
			item := l.find(part.Get("item"), assembly+"/parts/"+name+"/item")
			return layers.over(item, part, name)
		})
	}
	layers := l.layers("shocks")
	tree = rewrite(tree, []string{"shocks"}, func(name string, shock *Node) *Node {
		path := "shocks/" + name
		out := layers.over(l.fields(shock, path, "shock"), shock, name)
		for _, key := range []string{"springs", "above_piston", "below_piston"} {
			out = rewriteList(out, key, func(spring *Node) *Node {
				return Merge(l.fields(spring, path+"/"+key, "spring"), spring)
			})
		}
		return out
	})
	layers = l.layers("shafts")
	return rewrite(tree, []string{"shafts"}, func(name string, shaft *Node) *Node {
		return layers.over(l.fields(shaft, "shafts/"+name, "shaft"), shaft, name)
	})
}

// fields are the defaults that a bin item of the given kind supplies where it is used: its fields under the key of that
// name, and its mass, which a spring has not.
func (l *loader) fields(user *Node, path, kind string) *Node {
	at := user.Get("item")
	item := l.find(at, path+"/item")
	if item == nil {
		return nil
	}
	own := item.Get(kind)
	if own == nil {
		if is := item.Get("kind"); is == nil || is.Text != kind {
			l.add("wrong-kind", at.Place, path+"/item", "found the item %s, which is no %s, %s", quote(at.Text), kind, l.expects(&l.shelf, at.Text, kind))
			return nil
		}
		own = &Node{Place: item.Place, Kind: MapNode}
	}
	if own.Kind != MapNode {
		return nil // reported in the bin
	}
	if mass := item.Key("mass"); mass != nil && kind != "spring" {
		out := *own
		out.Keys = append(out.Keys[:len(out.Keys):len(out.Keys)], *mass)
		return &out
	}
	return own
}

// A layer is what one document of the chain wrote of the entries of a map.
type layer struct {
	cleared bool // the whole map was taken out by null before this document's entries
	entries map[string]*Node
}

type layers []layer

// layers looks the map at path up in every document of the chain, far to near.
func (l *loader) layers(path ...string) layers {
	out := make(layers, 0, len(l.chain))
	for i := len(l.chain) - 1; i >= 0; i-- {
		n, this := l.chain[i], layer{entries: map[string]*Node{}}
		for _, key := range path {
			n = n.Get(key)
			this.cleared = this.cleared || n != nil && n.Kind == NullNode
		}
		if n != nil {
			for _, k := range n.Keys {
				this.entries[k.Name] = k.Value
			}
		}
		out = append(out, this)
	}
	return out
}

// over applies what each document wrote of the entry called name to the item. Without an item the merged value stands.
func (ls layers) over(item, merged *Node, name string) *Node {
	if item == nil || merged.Kind != MapNode {
		return merged
	}
	out := item
	for _, layer := range ls {
		n := layer.entries[name]
		if layer.cleared || n != nil && n.Kind == NullNode {
			out = item // taken out here; what follows begins anew
		}
		if n != nil && n.Kind == MapNode {
			out = Merge(out, n)
		}
	}
	result := *out
	result.Place = merged.Place
	return &result
}

// rewrite replaces the maps in the map at path, leaving the tree given as it is.
func rewrite(tree *Node, path []string, change func(name string, n *Node) *Node) *Node {
	if len(path) > 0 {
		inner := tree.Get(path[0])
		if inner == nil {
			return tree
		}
		return with(tree, path[0], rewrite(inner, path[1:], change))
	}
	if tree.Kind != MapNode {
		return tree
	}
	out := *tree
	out.Keys = make([]Key, len(tree.Keys))
	for i, k := range tree.Keys {
		if k.Value.Kind == MapNode {
			k.Value = change(k.Name, k.Value)
		}
		out.Keys[i] = k
	}
	return &out
}

func rewriteList(n *Node, key string, change func(n *Node) *Node) *Node {
	list := n.Get(key)
	if list == nil || list.Kind != ListNode {
		return n
	}
	out := *list
	out.List = make([]*Node, len(list.List))
	for i, child := range list.List {
		if child.Kind == MapNode {
			child = change(child)
		}
		out.List[i] = child
	}
	return with(n, key, &out)
}

// with is a map with the value of one of its keys replaced.
func with(n *Node, key string, value *Node) *Node {
	out := *n
	out.Keys = append([]Key(nil), n.Keys...)
	for i := range out.Keys {
		if out.Keys[i].Name == key {
			out.Keys[i].Value = value
		}
	}
	return &out
}
