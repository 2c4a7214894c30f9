import { ShapeError, SingularError } from "./errors.ts";

function assertSystem(matrix: Float64Array, right: Float64Array): number {
  const n = right.length;
  if (matrix.length !== n * n) throw new ShapeError(`a ${n} x ${n} matrix`, `${matrix.length} values`);
  return n;
}

/**
 * Solves A x = b for a small symmetric positive definite A by Cholesky factors.
 *
 * @param matrix row-major n * n (the lower triangle is read)
 * @throws SingularError when A is not positive definite to working precision
 */
export function solveSymmetric(matrix: Float64Array, right: Float64Array): Float64Array {
  const n = assertSystem(matrix, right);
  const factor = cholesky(matrix, n);
  const x = right.slice();
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < i; k++) x[i] -= factor[i * n + k] * x[k];
    x[i] /= factor[i * n + i];
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) x[i] -= factor[k * n + i] * x[k];
    x[i] /= factor[i * n + i];
  }
  return x;
}

/** Lower triangular L with L L' = A. @throws SingularError when A is not positive definite */
export function cholesky(matrix: Float64Array, n: number): Float64Array {
  const factor = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i * n + j];
      for (let k = 0; k < j; k++) sum -= factor[i * n + k] * factor[j * n + k];
      if (i > j) {
        factor[i * n + j] = sum / factor[j * n + j];
      } else {
        if (!(sum > 1e-14 * Math.abs(matrix[i * n + i]))) throw new SingularError(n, i);
        factor[i * n + i] = Math.sqrt(sum);
      }
    }
  }
  return factor;
}

/**
 * Solves A x = b by Gaussian elimination with row pivoting.
 *
 * @param matrix row-major n * n, left untouched
 * @throws SingularError when a pivot vanishes against its column's size
 */
export function solveGeneral(matrix: Float64Array, right: Float64Array): Float64Array {
  const n = assertSystem(matrix, right);
  const a = matrix.slice();
  const x = right.slice();
  for (let column = 0; column < n; column++) {
    let pivot = column;
    let size = 0;
    for (let i = 0; i < n; i++) {
      size = Math.max(size, Math.abs(matrix[i * n + column]));
      if (i > column && Math.abs(a[i * n + column]) > Math.abs(a[pivot * n + column])) pivot = i;
    }
    if (!(Math.abs(a[pivot * n + column]) > 1e-14 * size)) throw new SingularError(n, column);
    swapRows(a, x, n, column, pivot);
    for (let i = column + 1; i < n; i++) {
      const ratio = a[i * n + column] / a[column * n + column];
      for (let k = column; k < n; k++) a[i * n + k] -= ratio * a[column * n + k];
      x[i] -= ratio * x[column];
    }
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) x[i] -= a[i * n + k] * x[k];
    x[i] /= a[i * n + i];
  }
  return x;
}

function swapRows(a: Float64Array, x: Float64Array, n: number, first: number, second: number): void {
  if (first === second) return;
  for (let k = 0; k < n; k++) {
    const swap = a[first * n + k];
    a[first * n + k] = a[second * n + k];
    a[second * n + k] = swap;
  }
  const swap = x[first];
  x[first] = x[second];
  x[second] = swap;
}
