package raster

import (
	"bufio"
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"path"
	"path/filepath"
	"regexp"
	"strings"
)

// files is how the vetting looks at files before GDAL does: real ones, and
// those inside archives or in memory.
type files struct {
	exists func(name string) bool
	open   func(name string) (io.ReadCloser, error)
}

// localVSI are GDAL's file systems that read local bytes. Any other is refused
// by name: the network ones, standard input, and those that take their content
// from the name.
var (
	localVSI = map[string]bool{"vsimem": true, "vsizip": true, "vsigzip": true, "vsitar": true, "vsisubfile": true}
	anyVSI   = regexp.MustCompile(`(?i)(^|[/:",{])(vsi[a-z0-9_]*)`)
	// subdataset is a name like NETCDF:"file.nc":elevation.
	subdataset = regexp.MustCompile(`^(?:NETCDF|HDF5|GPKG|BAG|ZARR|GTIFF_DIR:\d+):(?:"([^"]+)"|([^:]+))`)
)

const localHint = "copy the data to a local file and name that"

// vetName refuses a name that would lead GDAL off this machine's files, and
// gives the file that must exist for it.
func vetName(name string) (file string, err error) {
	file = name
	if m := subdataset.FindStringSubmatch(name); m != nil {
		file = m[1] + m[2]
	}
	if strings.Contains(file, "://") || strings.ContainsAny(name, "<\x00\n") {
		return "", refuse(ErrRefused, localHint, "%q is no name of a local file", clip(name))
	}
	for _, m := range anyVSI.FindAllStringSubmatch(filepath.ToSlash(name), -1) {
		if fs := strings.ToLower(m[2]); isVSI(name, fs) && !localVSI[fs] {
			return "", refuse(ErrRefused, localHint, "%q names the file system /%s/, which is not read", clip(name), fs)
		}
	}
	return file, nil
}

// isVSI tells a file system from a folder that merely starts with "vsi".
func isVSI(name, fs string) bool {
	lower := strings.ToLower(filepath.ToSlash(name))
	return strings.Contains(lower, "/"+fs+"/") || strings.Contains(lower, "/"+fs+"_") || strings.Contains(lower, "/"+fs+"?")
}

func clip(s string) string {
	if len(s) > 80 {
		return s[:80] + "..."
	}
	return s
}

const (
	vrtSniff = 4096     // GDAL itself looks at the first 1024 bytes; more costs nothing
	vrtMax   = 64 << 20 // bytes of one VRT; a choice
	vrtDepth = 16       // VRTs inside one another; a choice
)

// vetter walks the VRTs below a raster before GDAL opens it.
type vetter struct {
	files
	above []string        // the VRTs being looked into, outermost first
	seen  map[string]bool // files found in order
}

// vet checks a raster's name and, when it is a VRT, everything it reads.
func vet(name string, fs files) error {
	v := &vetter{files: fs, seen: map[string]bool{}}
	return v.file(name)
}

func (v *vetter) file(name string) error {
	file, err := vetName(name)
	if err != nil {
		return err
	}
	for _, up := range v.above {
		if up == path.Clean(file) {
			return refuse(ErrRefused, "remove the circle", "the VRT %s reads itself", path.Base(up))
		}
	}
	if v.seen[file] {
		return nil
	}
	v.seen[file] = true
	if !v.exists(file) {
		if len(v.above) == 0 {
			return &Error{Reason: ErrNotFound.Error(), Err: ErrNotFound}
		}
		return refuse(ErrRead, "restore the file or rebuild the VRT", "its source %s does not exist", filepath.Base(file))
	}
	text, isVRT, err := v.sniff(file)
	if err != nil || !isVRT {
		return err
	}
	if len(v.above) >= vrtDepth {
		return refuse(ErrRefused, "flatten it with gdalbuildvrt", "VRTs nested deeper than %d", vrtDepth)
	}
	v.above = append(v.above, path.Clean(file))
	defer func() { v.above = v.above[:len(v.above)-1] }()
	return v.vrt(file, text)
}

// sniff gives the text of a file that GDAL would take for a VRT. What cannot
// be opened (a folder, an archive) is left to GDAL.
func (v *vetter) sniff(file string) (text []byte, isVRT bool, err error) {
	f, err := v.open(file)
	if err != nil {
		return nil, false, nil
	}
	defer f.Close()
	head := make([]byte, vrtSniff)
	n, err := io.ReadFull(f, head)
	if err != nil && err != io.EOF && err != io.ErrUnexpectedEOF {
		return nil, false, nil
	}
	head = head[:n]
	if asciiGrid(head) {
		return nil, false, vetASCII(bufio.NewReader(io.MultiReader(bytes.NewReader(head), f)))
	}
	if !bytes.Contains(head, []byte("<VRTDataset")) {
		return nil, false, nil
	}
	rest, err := io.ReadAll(io.LimitReader(f, vrtMax))
	if err != nil {
		return nil, true, refuse(ErrRead, "", "reading the VRT: %v", err)
	}
	if len(rest) == vrtMax {
		return nil, true, refuse(ErrRefused, "split it", "a VRT of more than %d MiB", vrtMax>>20)
	}
	return append(head, rest...), true, nil
}

// vrt walks the elements of a VRT. Nothing is held but the names it meets.
func (v *vetter) vrt(file string, text []byte) error {
	dec := xml.NewDecoder(bytes.NewReader(text))
	dec.CharsetReader = func(_ string, r io.Reader) (io.Reader, error) { return r, nil }
	sources := 0
	for {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return refuse(ErrNotRaster, "repair it or rebuild it with gdalbuildvrt", "the VRT %s is broken: %v", filepath.Base(file), err)
		}
		start, ok := tok.(xml.StartElement)
		if !ok {
			continue
		}
		named, err := v.element(file, start, dec)
		if err != nil {
			return err
		}
		if named {
			sources++
		}
	}
	if sources == 0 {
		return refuse(ErrNoHeights, "rebuild it with gdalbuildvrt", "the VRT %s has no source: every cell would read as 0", filepath.Base(file))
	}
	return nil
}

// element looks at one element; named is true when it names a source.
func (v *vetter) element(file string, e xml.StartElement, dec *xml.Decoder) (named bool, err error) {
	attr := func(name string) string {
		for _, a := range e.Attr {
			if a.Name.Local == name {
				return a.Value
			}
		}
		return ""
	}
	switch e.Name.Local {
	case "VRTRasterBand":
		if attr("subClass") == "VRTRawRasterBand" {
			return false, refuse(ErrRefused, "translate the data to a GeoTIFF first", "the VRT %s reads raw bytes of a file as heights", filepath.Base(file))
		}
	case "PixelFunctionCode", "PixelFunctionLanguage":
		return false, refuse(ErrRefused, "translate the data to a GeoTIFF first", "the VRT %s runs code", filepath.Base(file))
	case "SourceFilename", "SourceDataset":
		var name string
		relative := attr("relativeToVRT") == "1"
		if err := dec.DecodeElement(&name, &e); err != nil {
			return false, refuse(ErrNotRaster, "repair it or rebuild it with gdalbuildvrt", "the VRT %s is broken: %v", filepath.Base(file), err)
		}
		name = strings.TrimSpace(name)
		if _, err := vetName(name); err != nil {
			return false, err // before joining folders hides what it is
		}
		return true, v.file(beside(file, name, relative))
	}
	return false, nil
}

// beside resolves a name in a VRT as GDAL does.
func beside(vrt, name string, relative bool) string {
	if !relative || strings.HasPrefix(name, "/vsi") || filepath.IsAbs(name) {
		return name
	}
	if m := subdataset.FindStringSubmatch(name); m != nil {
		file := m[1] + m[2]
		return strings.Replace(name, file, path.Join(path.Dir(filepath.ToSlash(vrt)), file), 1)
	}
	return path.Join(path.Dir(filepath.ToSlash(vrt)), filepath.ToSlash(name))
}
