package conform

import (
	"philtrum/templates/pdf/read"
)

// parentTree checks that every mark leads to the element that owns it.
func (c *checker) parentTree() {
	tree := make(map[int]read.Object)
	root := c.f.Dict(c.f.Catalog()["StructTreeRoot"])
	c.numberTree(c.f.Dict(root["ParentTree"]), tree, 0)
	used := make(map[int]bool)
	for i, p := range c.f.Pages() {
		if len(c.content[i]) == 0 {
			continue
		}
		key, ok := c.f.Int(p.Dict["StructParents"])
		entries := c.f.Array(tree[key])
		if !ok || used[key] || entries == nil {
			c.fail(RuleParentTree, "page %d", i+1)
			continue
		}
		used[key] = true
		for mark := range c.content[i] {
			owners := c.owners[markAt{i, mark}]
			if mark < 0 || mark >= len(entries) || len(owners) != 1 || entries[mark] != read.Object(owners[0]) {
				c.fail(RuleParentTree, "page %d mark %d", i+1, mark)
			}
		}
		for mark, o := range entries {
			if o != nil && !c.content[i][mark] {
				c.fail(RuleParentTree, "page %d mark %d", i+1, mark)
			}
		}
	}
	if next, ok := c.f.Int(root["ParentTreeNextKey"]); ok {
		for key := range tree {
			if key >= next {
				c.fail(RuleParentTree, "next key")
			}
		}
	}
}

// numberTree gathers the entries of a number tree (32000 7.9.7).
func (c *checker) numberTree(node read.Dict, into map[int]read.Object, depth int) {
	if depth > maxNest {
		c.fail(RuleParentTree, "depth")
		return
	}
	nums := c.f.Array(node["Nums"])
	for i := 0; i+1 < len(nums); i += 2 {
		if key, ok := c.f.Int(nums[i]); ok {
			into[key] = nums[i+1]
		}
	}
	for _, k := range c.f.Array(node["Kids"]) {
		c.numberTree(c.f.Dict(k), into, depth+1)
	}
}
