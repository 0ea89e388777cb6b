package network

import "spillway/network/diag"

// Check reads the file as it stands and with each of its alternatives, and returns what is wrong with any of them.
func Check(name string, data []byte) diag.List {
	root, found := parseLines(name, data)
	if found != nil {
		return withValues(name, root, found)
	}
	_, found = readTree(name, root.clone(), Options{})
	reported := make(map[string]bool, len(found))
	for _, d := range found {
		reported[d.Text()] = true
	}
	for _, alternative := range root.child("alternative").tables() {
		_, more := readTree(name, root.clone(), Options{Alternative: alternative.name})
		for _, d := range more {
			if text := d.Text(); !reported[text] {
				reported[text] = true
				d.Summary = withAlternative(alternative.name, d.Summary)
				found = append(found, d)
			}
		}
	}
	return found.Sorted()
}

// tables returns the children of a node that are tables.
func (n *node) tables() []*node {
	if n == nil {
		return nil
	}
	var out []*node
	for _, c := range n.children {
		if c.table {
			out = append(out, c)
		}
	}
	return out
}

// clone copies the tree, so that an override never reaches the original.
func (n *node) clone() *node {
	c := *n
	c.children, c.byName, c.items = nil, nil, nil
	for _, child := range n.children {
		c.add(child.clone())
	}
	for _, item := range n.items {
		c.items = append(c.items, item.clone())
	}
	return &c
}
