package rig

// fill puts the fields of bin items under those of the parts, shocks, springs and shafts that name them: the item is the
// target, what the document and its bases wrote are the patches, so a null takes a field of the item out.
func (l *loader) fill(tree *Node) *Node {
	for _, assembly := range []string{"chassis", "front", "rear"} {
		tree = rewrite(tree, []string{assembly, "parts"}, func(name string, part *Node) *Node {
			at := []string{assembly, "parts", name}
			item := l.find(part.Get("item"), assembly+"/parts/"+name+"/item")
			return l.over(item, part, at)
		})
	}
	tree = rewrite(tree, []string{"shocks"}, func(name string, shock *Node) *Node {
		path := "shocks/" + name
		out := l.over(l.fields(shock, path, "shock"), shock, []string{"shocks", name})
		return rewriteList(out, "springs", func(spring *Node) *Node {
			return Merge(l.fields(spring, path+"/springs", "spring"), spring)
		})
	})
	return rewrite(tree, []string{"shafts"}, func(name string, shaft *Node) *Node {
		return l.over(l.fields(shaft, "shafts/"+name, "shaft"), shaft, []string{"shafts", name})
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
	if own == nil || own.Kind != MapNode {
		l.add("wrong-kind", at.Place, path+"/item", "found the item %s, which is no %s: it has no key %s; %s", quote(at.Text), kind, quote(kind), l.shelf.expects(at.Text, kind))
		return nil
	}
	if mass := item.Key("mass"); mass != nil && kind != "spring" {
		out := *own
		out.Keys = append(out.Keys[:len(out.Keys):len(out.Keys)], *mass)
		return &out
	}
	return own
}

// over applies what each document of the chain wrote at path, far to near, to the item. Without an item the merged value
// stands.
func (l *loader) over(item, merged *Node, path []string) *Node {
	if item == nil || merged.Kind != MapNode {
		return merged
	}
	out := item
	for i := len(l.chain) - 1; i >= 0; i-- {
		n := l.chain[i]
		for _, key := range path {
			next := n.Get(key)
			if next != nil && next.Kind == NullNode {
				out = item // taken out here; what follows begins anew
			}
			n = next
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
