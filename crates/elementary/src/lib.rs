//! Sine, power and their like, with the same last bit on every machine.
//!
//! The standard library leaves the last bits of these functions open: they come from the system, and a build of one
//! machine would differ from another's. Here they come from `libm`, which is the same code everywhere. Clippy refuses the
//! standard library's in this workspace (`.clippy.toml`).
//!
//! Square roots, sums, products and quotients are exact to the last bit by IEEE 754 and need no stand-in.
//!
//! ```
//! use bobbinwright_elementary::Elementary;
//! use std::f64::consts::PI;
//!
//! assert!((PI / 6.0).sine() - 0.5 < 1e-15);
//! assert_eq!(3f64.hypotenuse(4.0), 5.0);
//! assert_eq!(1.5f64.power(2), 2.25);
//! ```

/// Functions of a real number that the standard library does not promise to the last bit.
pub trait Elementary: Sized {
    /// Sine of an angle in radians.
    ///
    /// ```
    /// # use bobbinwright_elementary::Elementary;
    /// assert_eq!(0f64.sine(), 0.0);
    /// ```
    #[must_use]
    fn sine(self) -> Self;

    /// Cosine of an angle in radians.
    ///
    /// ```
    /// # use bobbinwright_elementary::Elementary;
    /// assert_eq!(0f64.cosine(), 1.0);
    /// ```
    #[must_use]
    fn cosine(self) -> Self;

    /// Sine and cosine of an angle in radians.
    ///
    /// ```
    /// # use bobbinwright_elementary::Elementary;
    /// let (y, x) = 1f64.sine_cosine();
    /// assert!((y * y + x * x - 1.0).abs() < 1e-15);
    /// ```
    fn sine_cosine(self) -> (Self, Self);

    /// Tangent of an angle in radians.
    ///
    /// ```
    /// # use bobbinwright_elementary::Elementary;
    /// assert!((std::f64::consts::FRAC_PI_4.tangent() - 1.0).abs() < 1e-15);
    /// ```
    #[must_use]
    fn tangent(self) -> Self;

    /// The angle between -π/2 and π/2 with this sine.
    ///
    /// ```
    /// # use bobbinwright_elementary::Elementary;
    /// assert_eq!(1f64.arcsine(), std::f64::consts::FRAC_PI_2);
    /// ```
    #[must_use]
    fn arcsine(self) -> Self;

    /// The angle between 0 and π with this cosine.
    ///
    /// ```
    /// # use bobbinwright_elementary::Elementary;
    /// assert_eq!((-1f64).arccosine(), std::f64::consts::PI);
    /// ```
    #[must_use]
    fn arccosine(self) -> Self;

    /// The angle between -π/2 and π/2 with this tangent.
    ///
    /// ```
    /// # use bobbinwright_elementary::Elementary;
    /// assert_eq!(1f64.arctangent(), std::f64::consts::FRAC_PI_4);
    /// ```
    #[must_use]
    fn arctangent(self) -> Self;

    /// The direction, from -π to π, of the point with this y and that x.
    ///
    /// ```
    /// # use bobbinwright_elementary::Elementary;
    /// assert_eq!(1f64.direction_with(0.0), std::f64::consts::FRAC_PI_2);
    /// assert_eq!(0f64.direction_with(-1.0), std::f64::consts::PI);
    /// ```
    #[must_use]
    fn direction_with(self, x: Self) -> Self;

    /// Hyperbolic sine.
    ///
    /// ```
    /// # use bobbinwright_elementary::Elementary;
    /// assert!((1f64.hyperbolic_sine() - (1f64.exponential() - (-1f64).exponential()) / 2.0).abs() < 1e-15);
    /// ```
    #[must_use]
    fn hyperbolic_sine(self) -> Self;

    /// Hyperbolic cosine.
    ///
    /// ```
    /// # use bobbinwright_elementary::Elementary;
    /// assert_eq!(0f64.hyperbolic_cosine(), 1.0);
    /// ```
    #[must_use]
    fn hyperbolic_cosine(self) -> Self;

    /// The number with this hyperbolic sine.
    ///
    /// ```
    /// # use bobbinwright_elementary::Elementary;
    /// assert!((2f64.hyperbolic_sine().hyperbolic_arcsine() - 2.0).abs() < 1e-15);
    /// ```
    #[must_use]
    fn hyperbolic_arcsine(self) -> Self;

    /// e to this power.
    ///
    /// ```
    /// # use bobbinwright_elementary::Elementary;
    /// assert!((1f64.exponential() - std::f64::consts::E).abs() < 1e-15);
    /// ```
    #[must_use]
    fn exponential(self) -> Self;

    /// Natural logarithm.
    ///
    /// ```
    /// # use bobbinwright_elementary::Elementary;
    /// assert_eq!(1f64.logarithm(), 0.0);
    /// ```
    #[must_use]
    fn logarithm(self) -> Self;

    /// Logarithm to base 10.
    ///
    /// ```
    /// # use bobbinwright_elementary::Elementary;
    /// assert_eq!(1000f64.decadic_logarithm(), 3.0);
    /// ```
    #[must_use]
    fn decadic_logarithm(self) -> Self;

    /// This to any power.
    ///
    /// ```
    /// # use bobbinwright_elementary::Elementary;
    /// assert_eq!(2f64.to_power(0.5), 2f64.sqrt());
    /// ```
    #[must_use]
    fn to_power(self, exponent: Self) -> Self;

    /// This to a whole power, by squaring.
    ///
    /// ```
    /// # use bobbinwright_elementary::Elementary;
    /// assert_eq!(2f64.power(10), 1024.0);
    /// assert_eq!(2f64.power(-1), 0.5);
    /// assert_eq!(7f64.power(0), 1.0);
    /// ```
    #[must_use]
    fn power(self, exponent: i32) -> Self;

    /// The hypotenuse of a right triangle with these two legs.
    ///
    /// ```
    /// # use bobbinwright_elementary::Elementary;
    /// assert_eq!(5f64.hypotenuse(12.0), 13.0);
    /// ```
    #[must_use]
    fn hypotenuse(self, other: Self) -> Self;
}

impl Elementary for f64 {
    fn sine(self) -> Self {
        libm::sin(self)
    }

    fn cosine(self) -> Self {
        libm::cos(self)
    }

    fn sine_cosine(self) -> (Self, Self) {
        (libm::sin(self), libm::cos(self))
    }

    fn tangent(self) -> Self {
        libm::tan(self)
    }

    fn arcsine(self) -> Self {
        libm::asin(self)
    }

    fn arccosine(self) -> Self {
        libm::acos(self)
    }

    fn arctangent(self) -> Self {
        libm::atan(self)
    }

    fn direction_with(self, x: Self) -> Self {
        libm::atan2(self, x)
    }

    fn hyperbolic_sine(self) -> Self {
        libm::sinh(self)
    }

    fn hyperbolic_cosine(self) -> Self {
        libm::cosh(self)
    }

    fn hyperbolic_arcsine(self) -> Self {
        libm::asinh(self)
    }

    fn exponential(self) -> Self {
        libm::exp(self)
    }

    fn logarithm(self) -> Self {
        libm::log(self)
    }

    fn decadic_logarithm(self) -> Self {
        libm::log10(self)
    }

    fn to_power(self, exponent: Self) -> Self {
        libm::pow(self, exponent)
    }

    #[inline]
    fn power(self, exponent: i32) -> Self {
        let (mut base, mut left, mut result) = (self, exponent.unsigned_abs(), 1.0);
        while left > 0 {
            if left & 1 == 1 {
                result *= base;
            }
            base *= base;
            left >>= 1;
        }
        if exponent < 0 { 1.0 / result } else { result }
    }

    fn hypotenuse(self, other: Self) -> Self {
        libm::hypot(self, other)
    }
}
