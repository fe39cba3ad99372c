package sheet

import (
	"bytes"
	"fmt"
	"image/color"
	"image/png"
	"math"

	"git.sr.ht/~sbinet/gg"
	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
)

// PNG returns the picture as a PNG with scale image pixels for each pixel of
// the sheet (2 for sharp screens and print). The same sheet gives the same
// bytes. Scales outside 0.25 to 8 are refused.
func (s *Sheet) PNG(scale float64) ([]byte, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	if !(scale >= 0.25 && scale <= 8) {
		return nil, fmt.Errorf("sheet: PNG scale %g is outside 0.25 to 8", scale)
	}
	p := &painter{dc: gg.NewContext(int(math.Ceil(s.Width*scale)), int(math.Ceil(s.Height*scale))), scale: scale, faces: map[faceKey]font.Face{}}
	p.dc.SetColor(color.White)
	p.dc.Clear()
	for _, it := range s.items {
		if it.path != nil {
			p.path(it.path)
		} else if err := p.text(it.text); err != nil {
			return nil, err
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, p.dc.Image()); err != nil {
		return nil, fmt.Errorf("sheet: writing PNG: %v", err)
	}
	return b.Bytes(), nil
}

type faceKey struct {
	size float64
	bold bool
}

// painter draws in device pixels: all lengths are scaled here rather than by
// the context, so that glyphs are drawn at their final size.
type painter struct {
	dc    *gg.Context
	scale float64
	faces map[faceKey]font.Face
}

func (p *painter) path(path *Path) {
	p.dc.ClearPath()
	for _, st := range path.Steps {
		q := st.Points
		for i := range q {
			q[i].X *= p.scale
			q[i].Y *= p.scale
		}
		switch st.Op {
		case MoveTo:
			p.dc.MoveTo(q[0].X, q[0].Y)
		case LineTo:
			p.dc.LineTo(q[0].X, q[0].Y)
		case CurveTo:
			p.dc.CubicTo(q[0].X, q[0].Y, q[1].X, q[1].Y, q[2].X, q[2].Y)
		case Close:
			p.dc.ClosePath()
		}
	}
	if path.Fill != nil {
		p.dc.SetColor(faded(path.Fill, path.Opacity))
		p.dc.FillPreserve()
	}
	if path.Stroke != nil && path.Width > 0 {
		dash := make([]float64, len(path.Dash))
		for i, d := range path.Dash {
			dash[i] = d * p.scale
		}
		p.dc.SetDash(dash...)
		p.dc.SetLineWidth(path.Width * p.scale)
		p.dc.SetLineCapButt()
		p.dc.SetLineJoinRound()
		p.dc.SetColor(path.Stroke)
		p.dc.StrokePreserve()
	}
	p.dc.ClearPath()
}

func (p *painter) text(t *Text) error {
	face, err := p.face(faceKey{t.Size, t.Bold})
	if err != nil {
		return err
	}
	if t.Colour == nil {
		return nil
	}
	p.dc.SetFontFace(face)
	x, y := t.X*p.scale, t.Y*p.scale
	w := TextWidth(t.Content, t.Size, t.Bold) * p.scale
	p.dc.Push()
	defer p.dc.Pop()
	if t.Upright {
		p.dc.RotateAbout(-math.Pi/2, x, y)
	}
	switch t.Anchor {
	case Middle:
		x -= w / 2
	case End:
		x -= w
	}
	if t.Halo {
		p.dc.SetColor(color.White)
		for i := range 12 {
			sin, cos := math.Sincos(float64(i) * math.Pi / 6)
			p.dc.DrawString(t.Content, x+1.5*p.scale*cos, y+1.5*p.scale*sin)
		}
	}
	p.dc.SetColor(t.Colour)
	p.dc.DrawString(t.Content, x, y)
	return nil
}

func (p *painter) face(k faceKey) (font.Face, error) {
	if f, ok := p.faces[k]; ok {
		return f, nil
	}
	f, err := opentype.NewFace(fontOf(k.bold), &opentype.FaceOptions{Size: k.size * p.scale, DPI: 72, Hinting: font.HintingNone})
	if err != nil {
		return nil, fmt.Errorf("sheet: font at size %g: %v", k.size, err)
	}
	p.faces[k] = f
	return f, nil
}

func faded(c color.Color, opacity float64) color.Color {
	if opacity <= 0 || opacity >= 1 {
		return c
	}
	n := color.NRGBAModel.Convert(c).(color.NRGBA)
	n.A = uint8(math.Round(float64(n.A) * opacity))
	return n
}
