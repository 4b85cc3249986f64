//! Pixels: triangles with a depth for each, edges in front of them, averaged down.

use bobbinwright_elementary::Elementary;
use bobbinwright_kernel::mesh::Mesh;
use bobbinwright_kernel::solid::{Point3, Vector3};

use bobbinwright_paper::png_file::{self, Packing};

/// Each pixel is the mean of this many squared.
pub(super) const OVERSAMPLING: usize = 3;

/// Something in the scene: triangles, the lines to draw on them, and its colour.
pub(super) struct Actor {
    pub mesh: Mesh,
    pub lines: Vec<Vec<Point3>>,
    pub color: [f64; 3],
}

/// A parallel projection from the front right above.
pub(super) struct View {
    right: Vector3,
    up: Vector3,
    toward: Vector3,
    scale: f64,
    origin: (f64, f64),
    pub width: usize,
    pub height: usize,
}

impl View {
    pub fn looking_at(actors: &[Actor], width: usize) -> Self {
        let (turn, tilt) = (-24f64.to_radians(), 33f64.to_radians());
        let right = Vector3::new(turn.cosine(), turn.sine(), 0.0);
        let forward = Vector3::new(-turn.sine(), turn.cosine(), 0.0);
        let up = forward * tilt.sine() + Vector3::z() * tilt.cosine();
        let toward = -forward * tilt.cosine() + Vector3::z() * tilt.sine();
        let mut view = Self { right, up, toward, scale: 1.0, origin: (0.0, 0.0), width, height: 0 };
        let (mut low, mut high) = ((f64::INFINITY, f64::INFINITY), (f64::NEG_INFINITY, f64::NEG_INFINITY));
        for actor in actors {
            for p in &actor.mesh.points {
                let (x, y, _) = view.place(*p);
                low = (low.0.min(x), low.1.min(y));
                high = (high.0.max(x), high.1.max(y));
            }
        }
        // `place` measures y downwards.
        let border = 0.03 * width as f64;
        view.scale = (width as f64 - 2.0 * border) / (high.0 - low.0);
        view.height = ((high.1 - low.1) * view.scale + 2.0 * border).ceil() as usize;
        view.height = view.height.next_multiple_of(OVERSAMPLING);
        view.origin = (low.0 - border / view.scale, low.1 - border / view.scale);
        view
    }

    /// Pixel right, pixel down, nearness.
    fn place(&self, p: Point3) -> (f64, f64, f64) {
        let v = p.coords;
        let x = (v.dot(&self.right) - self.origin.0) * self.scale;
        let y = (-v.dot(&self.up) - self.origin.1) * self.scale;
        (x, y, v.dot(&self.toward))
    }
}

pub(super) struct Canvas {
    width: usize,
    height: usize,
    near: Vec<f32>,
    color: Vec<[u8; 3]>,
}

impl Canvas {
    pub fn new(width: usize, height: usize) -> Self {
        Self {
            width,
            height,
            near: vec![f32::NEG_INFINITY; width * height],
            color: vec![[255; 3]; width * height],
        }
    }

    pub fn fill(&mut self, actor: &Actor, view: &View) {
        let light = (view.toward * 0.9 + view.up * 0.6 - view.right * 0.35).normalize();
        for t in &actor.mesh.triangles {
            let [a, b, c] = t.map(|i| actor.mesh.points[i as usize]);
            let normal = (b - a).cross(&(c - a)).normalize();
            if normal.dot(&view.toward) <= 0.0 {
                continue;
            }
            let bright = 0.38 + 0.62 * normal.dot(&light).max(0.0);
            let color = actor.color.map(|c| (255.0 * (c * bright).min(1.0)) as u8);
            self.triangle([a, b, c].map(|p| view.place(p)), color);
        }
    }

    fn triangle(&mut self, [a, b, c]: [(f64, f64, f64); 3], color: [u8; 3]) {
        let area = (b.0 - a.0) * (c.1 - a.1) - (b.1 - a.1) * (c.0 - a.0);
        if area.abs() < 1e-9 {
            return;
        }
        let span = |v: [f64; 3], limit: usize| {
            let low = v.iter().copied().fold(f64::INFINITY, f64::min).floor().max(0.0) as usize;
            let high = v.iter().copied().fold(0.0, f64::max).ceil() as usize;
            low..high.min(limit)
        };
        for y in span([a.1, b.1, c.1], self.height) {
            for x in span([a.0, b.0, c.0], self.width) {
                let (px, py) = (x as f64 + 0.5, y as f64 + 0.5);
                let u = ((b.0 - px) * (c.1 - py) - (b.1 - py) * (c.0 - px)) / area;
                let v = ((c.0 - px) * (a.1 - py) - (c.1 - py) * (a.0 - px)) / area;
                let w = 1.0 - u - v;
                if u < 0.0 || v < 0.0 || w < 0.0 {
                    continue;
                }
                let near = (u * a.2 + v * b.2 + w * c.2) as f32;
                let at = y * self.width + x;
                if near > self.near[at] {
                    self.near[at] = near;
                    self.color[at] = color;
                }
            }
        }
    }

    /// Edges, a little in front of the faces they bound.
    pub fn draw_edges(&mut self, actor: &Actor, view: &View) {
        for line in &actor.lines {
            for w in line.windows(2) {
                self.line(view.place(w[0]), view.place(w[1]));
            }
        }
    }

    fn line(&mut self, a: (f64, f64, f64), b: (f64, f64, f64)) {
        const IN_FRONT: f64 = 0.25;
        let half = OVERSAMPLING as i64 / 2;
        let steps = (b.0 - a.0).abs().max((b.1 - a.1).abs()).ceil().max(1.0);
        for i in 0..=steps as usize {
            let t = i as f64 / steps;
            let (x, y, near) = (a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t, a.2 + (b.2 - a.2) * t);
            for (dx, dy) in (-half..=half).flat_map(|dx| (-half..=half).map(move |dy| (dx, dy))) {
                let (px, py) = (x as i64 + dx, y as i64 + dy);
                if px < 0 || py < 0 || px >= self.width as i64 || py >= self.height as i64 {
                    continue;
                }
                let at = py as usize * self.width + px as usize;
                if (near + IN_FRONT) as f32 >= self.near[at] {
                    self.color[at] = [40, 42, 46];
                }
            }
        }
    }

    /// Averaged down to pixels and packed.
    pub fn png(&self) -> Result<Vec<u8>, png::EncodingError> {
        let (w, h) = (self.width / OVERSAMPLING, self.height / OVERSAMPLING);
        let mut pixels = Vec::with_capacity(w * h * 3);
        for y in 0..h {
            for x in 0..w {
                for channel in 0..3 {
                    let mut sum = 0u32;
                    for (dy, dx) in (0..OVERSAMPLING).flat_map(|dy| (0..OVERSAMPLING).map(move |dx| (dy, dx)))
                    {
                        let at = (y * OVERSAMPLING + dy) * self.width + x * OVERSAMPLING + dx;
                        sum += u32::from(self.color[at][channel]);
                    }
                    pixels.push((sum / (OVERSAMPLING * OVERSAMPLING) as u32) as u8);
                }
            }
        }
        png_file::rgb(w as u32, h as u32, &pixels, Packing::Usual)
    }
}
