package formula

// compile turns a checked part into what is worked out: constants put in, parts without a name or table
// worked out at once, min and max of many taken by two.
func compile(n *node, words *Words) *code {
	c := &code{op: n.op, column: int32(n.column), number: n.number, table: n.table}
	switch n.op {
	case opWord:
		return &code{op: opNumber, number: words.Number(n.text)}
	case opYesNo:
		return &code{op: opNumber, number: n.number}
	case opName:
		if n.name.Fixed {
			return &code{op: opNumber, number: n.name.Is}
		}
		c.slot = n.name.Slot
		return c
	case opGiven:
		c.slot = n.kids[0].name.Slot
		return c
	case opMin, opMax:
		return folded(pairs(n, words))
	}
	parts := make([]*code, 3)
	for i, k := range n.kids {
		parts[i] = compile(k, words)
	}
	c.a, c.b, c.c = parts[0], parts[1], parts[2]
	if n.op == opPower && c.b.op == opNumber && c.b.number == 2 {
		c.op, c.b = opSquare, nil
	}
	return folded(c)
}

// pairs makes min(a, b, c) into min(min(a, b), c).
func pairs(n *node, words *Words) *code {
	left := compile(n.kids[0], words)
	for _, k := range n.kids[1:] {
		left = &code{op: n.op, column: int32(n.column), a: left, b: compile(k, words)}
	}
	return left
}

// folded works a part out where nothing in it can change. One that is silent stays, to say so when asked.
func folded(c *code) *code {
	for _, part := range []*code{c.a, c.b, c.c} {
		if part != nil && part.op != opNumber {
			return c
		}
	}
	if c.op == opTable || c.op == opNumber {
		return c
	}
	var s Silence
	if v := c.at(nil, &s); s.Why == Answered {
		return &code{op: opNumber, number: v}
	}
	return c
}
