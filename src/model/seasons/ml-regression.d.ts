/** What is used of ml-regression, which brings no types of its own. */
declare module "ml-regression" {
  /** Theil–Sen line: median of the slopes between all pairs, median of the cuts. */
  export class TheilSenRegression {
    constructor(x: number[], y: number[]);
    readonly slope: number;
    readonly intercept: number;
  }

  /** Ordinary least-squares polynomial, coefficients from the constant upwards. */
  export class PolynomialRegression {
    constructor(x: number[], y: number[], degree: number);
    readonly coefficients: number[];
  }
}
