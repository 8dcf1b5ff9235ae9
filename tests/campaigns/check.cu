/* A campaign on a CUDA device, as check.c has it on the host. What goes wrong is returned as a text. */
#include "check.h"

#include <cstddef>

static __global__ void check_all(
    Report *report, uint64_t first, uint64_t stride, uint64_t count, uint32_t directions)
{
    uint64_t i = blockIdx.x * (uint64_t)blockDim.x + threadIdx.x;
    for (; i < count; i += (uint64_t)gridDim.x * blockDim.x) {
        check_one(report, first + stride * i, directions);
    }
}

extern "C" char const *machine(void)
{
    static cudaDeviceProp properties;
    return cudaGetDeviceProperties(&properties, 0) == cudaSuccess ? properties.name : "";
}

static cudaError_t checked(
    uint64_t first, uint64_t stride, uint64_t count, uint32_t directions, Report *report)
{
    static Report *on_device;
    size_t const head = offsetof(Report, doubt);
    cudaError_t error = on_device ? cudaSuccess : cudaMalloc(&on_device, sizeof *on_device);
    if (error == cudaSuccess) {
        error = cudaMemset(on_device, 0, head);
    }
    if (error == cudaSuccess) {
        check_all<<<4096, 256>>>(on_device, first, stride, count, directions);
        error = cudaGetLastError();
    }
    if (error == cudaSuccess) {
        error = cudaMemcpy(report, on_device, head, cudaMemcpyDeviceToHost); /* which waits for the kernel */
    }
    if (error == cudaSuccess) {
        Count doubts = report->doubts < MOST_DOUBTS ? report->doubts : MOST_DOUBTS;
        error = cudaMemcpy(report->doubt, on_device->doubt, doubts * sizeof(Doubt), cudaMemcpyDeviceToHost);
    }
    return error;
}

extern "C" char const *check(
    uint64_t first, uint64_t stride, uint64_t count, uint32_t directions, Report *report)
{
    cudaError_t error = checked(first, stride, count, directions, report);
    return error == cudaSuccess ? "" : cudaGetErrorString(error);
}
