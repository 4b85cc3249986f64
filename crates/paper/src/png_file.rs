//! PNG files.

use png::{BitDepth, ColorType, DeflateCompression, Encoder, EncodingError, Filter};

/// How hard to try.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Packing {
    /// For shaded pictures.
    Usual,
    /// For drawings: large plain areas pack well however little is tried, and best unfiltered.
    Quick,
}

/// An image of red, green and blue bytes, row by row from the top. It is an error when there are not three bytes for
/// each of `width` times `height` pixels, or when one of these is 0.
///
/// ```
/// use bobbinwright_paper::png_file::{Packing, rgb};
/// let white = [255; 3 * 2 * 4];
/// assert!(rgb(2, 4, &white, Packing::Quick)?.starts_with(b"\x89PNG\r\n\x1a\n"));
/// assert!(rgb(2, 5, &white, Packing::Quick).is_err() && rgb(0, 4, &[], Packing::Quick).is_err());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn rgb(width: u32, height: u32, pixels: &[u8], packing: Packing) -> Result<Vec<u8>, EncodingError> {
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, width, height);
    encoder.set_color(ColorType::Rgb);
    encoder.set_depth(BitDepth::Eight);
    if packing == Packing::Quick {
        encoder.set_filter(Filter::NoFilter);
        encoder.set_deflate_compression(DeflateCompression::Level(1));
    }
    let mut writer = encoder.write_header()?;
    writer.write_image_data(pixels)?;
    writer.finish()?;
    Ok(bytes)
}
