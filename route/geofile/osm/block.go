package osm

// primitives is what the elements of a block refer to.
type primitives struct {
	strings     [][]byte
	granularity int64
	lat0, lon0  int64
	refs        []int64
	visit       visitor
}

func block(data []byte, v visitor) error {
	b := primitives{granularity: 100, visit: v}
	var groups [][]byte
	m := message{b: data}
	for m.next() {
		switch m.field {
		case 1:
			t := message{b: m.data}
			for t.next() {
				if t.field == 1 {
					b.strings = append(b.strings, t.data)
				}
			}
			if t.err != nil {
				return t.err
			}
		case 2:
			groups = append(groups, m.data)
		case 17:
			b.granularity = int64(m.num)
		case 19:
			b.lat0 = int64(m.num)
		case 20:
			b.lon0 = int64(m.num)
		}
	}
	if m.err != nil {
		return m.err
	}
	for _, g := range groups {
		if err := b.group(g); err != nil {
			return err
		}
	}
	return nil
}

func (b *primitives) group(data []byte) error {
	m := message{b: data}
	for m.next() {
		var err error
		switch {
		case m.field == 1 && b.visit.node != nil:
			err = b.node(m.data)
		case m.field == 2 && b.visit.node != nil:
			err = b.dense(m.data)
		case m.field == 3 && b.visit.way != nil:
			err = b.way(m.data)
		}
		if err != nil {
			return err
		}
	}
	return m.err
}

// degrees turns a count of the block's unit into degrees.
func (b *primitives) degrees(offset, v int64) float64 {
	return 1e-9 * (float64(offset) + float64(b.granularity)*float64(v))
}

func (b *primitives) node(data []byte) error {
	m := message{b: data}
	var id, lat, lon int64
	var keys, vals []byte
	for m.next() {
		switch m.field {
		case 1:
			id = zigzag(m.num)
		case 2:
			keys = m.data
		case 3:
			vals = m.data
		case 8:
			lat = zigzag(m.num)
		case 9:
			lon = zigzag(m.num)
		}
	}
	if m.err != nil {
		return m.err
	}
	tags, err := b.tags(keys, vals)
	if err != nil {
		return err
	}
	return b.visit.node(id, b.degrees(b.lon0, lon), b.degrees(b.lat0, lat), func() map[string]string { return tags })
}

// dense reads many nodes, each as the difference from the one before.
func (b *primitives) dense(data []byte) error {
	m := message{b: data}
	var ids, lats, lons, kv packed
	for m.next() {
		switch m.field {
		case 1:
			ids.b = m.data
		case 8:
			lats.b = m.data
		case 9:
			lons.b = m.data
		case 10:
			kv.b = m.data
		}
	}
	if m.err != nil {
		return m.err
	}
	var id, lat, lon int64
	tagged := len(kv.b) > 0
	var pairs []uint64
	for ids.more() {
		if !lats.more() || !lons.more() {
			return errCut
		}
		id += zigzag(ids.next())
		lat += zigzag(lats.next())
		lon += zigzag(lons.next())
		pairs = pairs[:0]
		for tagged {
			if !kv.more() {
				return errCut
			}
			k := kv.next()
			if k == 0 {
				break
			}
			if !kv.more() {
				return errCut
			}
			pairs = append(pairs, k, kv.next())
		}
		if ids.bad || lats.bad || lons.bad || kv.bad {
			return errCut
		}
		for _, i := range pairs {
			if i >= uint64(len(b.strings)) {
				return errCut
			}
		}
		if err := b.visit.node(id, b.degrees(b.lon0, lon), b.degrees(b.lat0, lat), func() map[string]string { return b.pairs(pairs) }); err != nil {
			return err
		}
	}
	if ids.bad {
		return errCut
	}
	return nil
}

func (b *primitives) pairs(list []uint64) map[string]string {
	if len(list) == 0 {
		return nil
	}
	out := make(map[string]string, len(list)/2)
	for i := 0; i+1 < len(list); i += 2 {
		out[string(b.strings[list[i]])] = string(b.strings[list[i+1]])
	}
	return out
}

func (b *primitives) tags(keys, vals []byte) (map[string]string, error) {
	k, v := packed{b: keys}, packed{b: vals}
	var list []uint64
	for k.more() {
		if !v.more() {
			return nil, errCut
		}
		i, j := k.next(), v.next()
		if k.bad || v.bad || i >= uint64(len(b.strings)) || j >= uint64(len(b.strings)) {
			return nil, errCut
		}
		list = append(list, i, j)
	}
	return b.pairs(list), nil
}

func (b *primitives) way(data []byte) error {
	m := message{b: data}
	var id int64
	var keys, vals []byte
	var refs packed
	for m.next() {
		switch m.field {
		case 1:
			id = int64(m.num)
		case 2:
			keys = m.data
		case 3:
			vals = m.data
		case 8:
			refs.b = m.data
		}
	}
	if m.err != nil {
		return m.err
	}
	tags, err := b.tags(keys, vals)
	if err != nil {
		return err
	}
	b.refs = b.refs[:0]
	ref := int64(0)
	for refs.more() {
		ref += zigzag(refs.next())
		b.refs = append(b.refs, ref)
	}
	if refs.bad {
		return errCut
	}
	return b.visit.way(id, b.refs, tags)
}
