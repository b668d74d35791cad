package osm

import (
	"context"
	"maps"
	"math"
	"os"
	"slices"
	"testing"

	"github.com/paulmach/osm"
	"github.com/paulmach/osm/osmpbf"
)

// TestBesideAnotherReader holds every node and way of two real files against
// paulmach/osm, which reads the format on its own.
func TestBesideAnotherReader(t *testing.T) {
	needData(t)
	for _, name := range []string{"liechtenstein-2013-08-03.osm.pbf", "poa_osm.pbf"} {
		f, err := os.Open(data + "/network/" + name)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		nodes, list := map[int64]*osm.Node{}, map[int64]*osm.Way{}
		s := osmpbf.New(context.Background(), f, 1)
		for s.Scan() {
			switch o := s.Object().(type) {
			case *osm.Node:
				nodes[int64(o.ID)] = o
			case *osm.Way:
				list[int64(o.ID)] = o
			}
		}
		if s.Err() != nil {
			t.Fatal(s.Err())
		}
		s.Close()
		if _, err := f.Seek(0, 0); err != nil {
			t.Fatal(err)
		}
		n, w := 0, 0
		err = scanPBF(f, visitor{
			node: func(id int64, lon, lat float64, tags func() map[string]string) error {
				n++
				o := nodes[id]
				if o == nil || math.Abs(o.Lon-lon) > 1e-12 || math.Abs(o.Lat-lat) > 1e-12 || !maps.Equal(tags(), o.Tags.Map()) && len(o.Tags) > 0 {
					t.Fatalf("%s: node %d is %g %g %v, there %+v", name, id, lon, lat, tags(), o)
				}
				return nil
			},
			way: func(id int64, refs []int64, tags map[string]string) error {
				w++
				o := list[id]
				var want []int64
				if o != nil {
					for _, r := range o.Nodes {
						want = append(want, int64(r.ID))
					}
				}
				if o == nil || !slices.Equal(refs, want) || !maps.Equal(tags, o.Tags.Map()) && len(o.Tags) > 0 {
					t.Fatalf("%s: way %d is %v %v, there %+v", name, id, refs, tags, o)
				}
				return nil
			},
		})
		if err != nil || n != len(nodes) || w != len(list) || n == 0 || w == 0 {
			t.Errorf("%s: %d nodes and %d ways, there %d and %d: %v", name, n, w, len(nodes), len(list), err)
		}
	}
}
